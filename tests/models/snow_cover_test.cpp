#include "models/array/snow_cover.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"

using namespace holdwater::models;

TEST_SUITE_BEGIN("models/snow_cover");

TEST_CASE("a cloudy period over New Year") {
    SnowCover s;
    cover_days(s, 363, 5);
    CHECK(s.days.count() == 5);
    for (int d : {363, 364, 365, 1, 2}) CHECK(snow_factor(s, d) == 0);
    CHECK(snow_factor(s, 362) == 1);
    CHECK(snow_factor(s, 3) == 1);
    SnowCover leap;
    cover_days(leap, 366, 2, 366);
    CHECK(snow_factor(leap, 366) == 0);
    CHECK(snow_factor(leap, 1) == 0);
}

TEST_CASE("days of a month lie in its middle, in one cloudy period") {
    auto const s = snow_by_month({5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 31});
    CHECK(s.days.count() == 36);
    // 5 of 31 in January: 14th to 18th.
    CHECK(snow_factor(s, 13) == 1);
    for (int d = 14; d <= 18; ++d) CHECK(snow_factor(s, d) == 0);
    CHECK(snow_factor(s, 19) == 1);
    CHECK(snow_factor(s, 334) == 1);  // 30 November
    CHECK(snow_factor(s, 335) == 0);
    CHECK(snow_factor(s, 365) == 0);
    CHECK(snow_by_month({}).days.none());
    CHECK(snow_by_month({31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}).days.count() == 365);
}

TEST_CASE("days that cannot be are refused") {
    SnowCover s;
    CHECK_THROWS_AS(cover_days(s, 0, 1), ParameterError);
    CHECK_THROWS_AS(cover_days(s, 366, 1), ParameterError);
    CHECK_THROWS_AS(cover_days(s, 1, -1), ParameterError);
    CHECK_THROWS_AS(snow_by_month({0, 29}), ParameterError);
}

TEST_SUITE_END();
