#include "models/numeric/parameter_error.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace holdwater::models;

TEST_SUITE_BEGIN("models/parameter_error");

TEST_CASE("the message names field, value and rule, and NaN is refused") {
    CHECK_NOTHROW(require(true, "head_m", 3, "must be >= 0"));
    CHECK_THROWS_WITH_AS(require(-1.5 >= 0, "head_m", -1.5, "must be >= 0"), "head_m = -1.5 (must be >= 0)",
                         ParameterError);
    double const nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(require(nan >= 0, "head_m", nan, "must be >= 0"), ParameterError);
}

TEST_SUITE_END();
