#include "models/numeric/decay.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace holdwater::models;

TEST_SUITE_BEGIN("models/decay");

// The C library's expm1, itself right to a unit of the last digit; the series may be off by four (see
// decay.hpp).
TEST_CASE("what is gone after a time is the library's figure, in doubles and in lanes") {
    for (double x = 1e-12; x < 800; x *= 1.01) {
        CAPTURE(x);
        double const want = -std::expm1(-x), gone = gone_share(x);
        CHECK(std::abs(gone / want - 1) < 4 * 2.3e-16);
        Lanes const lanes = gone_share(Lanes(x));
        CHECK(lanes[0] == gone);
        CHECK(lanes[7] == gone);
        auto const d = decay(x);
        CHECK(std::abs(d.share / want - 1) < 4 * 2.3e-16);
        CHECK(std::abs(d.shortfall - (1 - want / x)) < 4 * 2.3e-16);
    }
    CHECK(gone_share(0.0) == 0);
    CHECK(decay(0.0).shortfall == 0);
    CHECK(decay_hours(0, 3) == 3);
}

TEST_CASE("lanes beyond the series keep those within it as they are") {
    Lanes x = 0.5;
    x.set(3, 9);
    Lanes const gone = gone_share(x);
    CHECK(gone[2] == gone_share(0.5));
    CHECK(gone[3] == gone_share(9.0));
}

TEST_SUITE_END();
