#include "models/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <vector>

#include "models/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/statistics");

// Standard intervals, recomputed: n 30, s 1.5 (t = 2.045230); k 7 and 0 of n 200; s 0.8, h 0.1. Printed to
// 1e-6.
TEST_CASE("intervals") {
    CHECK(mean_half_width(1.5, 30) == Near{0.560109, 5e-7, 0});
    CHECK(mean_half_width(1, 30) * std::sqrt(30.0) == Near{2.045230, 5e-7, 0});
    auto const seven = wilson_interval(7, 200);
    CHECK(seven.centre == Near{0.035, 0, 1e-12});
    CHECK(seven.low == Near{0.017056, 5e-7, 0});
    CHECK(seven.high == Near{0.070471, 5e-7, 0});
    auto const zero = wilson_interval(0, 200);
    CHECK(zero.low == Near{0, 1e-15, 0});
    CHECK(zero.high == Near{0.018845, 5e-7, 0});
    CHECK(none_failed_upper_bound(200) == Near{0.014867, 5e-7, 0});
    CHECK(none_failed_upper_bound(200) == Near{3.0 / 200, 0, 0.01});  // the rule of three
    CHECK(repetitions_needed(0.8, 0.1) == 246);
}

TEST_CASE("mean and deviation") {
    std::vector<double> const values{2, 4, 4, 4, 5, 5, 7, 9};
    CHECK(mean(values) == 5);
    CHECK(sample_deviation(values) == Near{std::sqrt(32.0 / 7), 0, 1e-12});
    auto const interval = mean_interval(values);
    CHECK(interval.high - interval.centre == Near{interval.centre - interval.low, 0, 1e-12});
    CHECK(std::isinf(mean_interval(std::vector<double>{1}).high));
    CHECK(sample_deviation(std::vector<double>{1}) == 0);
}

TEST_CASE("an all-failed count mirrors a none-failed one") {
    auto const none = wilson_interval(0, 50), all = wilson_interval(50, 50);
    CHECK(all.low == Near{1 - none.high, 1e-12, 0});
    CHECK(all.high == Near{1, 1e-12, 0});
}

// The interval's promise: about 95 of 100 intervals hold the truth. 4000 trials, four standard deviations
// 0.014; Wilson's own coverage wobbles by about a percent around 95 %.
TEST_CASE("intervals hold the truth as often as they say") {
    std::mt19937_64 engine(17);
    int held = 0, trials = 4000;
    for (int i = 0; i < trials; ++i) {
        int k = 0;
        for (int j = 0; j < 120; ++j) k += static_cast<double>(engine() >> 11) * 0x1p-53 < 0.08;
        auto const interval = wilson_interval(k, 120);
        held += interval.low <= 0.08 && 0.08 <= interval.high;
    }
    CHECK(held / double(trials) == Near{0.95, 0.024, 0});
}

TEST_CASE("pairs are sharper than two separate means") {
    std::vector<double> const a{10, 40, 25, 33, 5, 60}, b{11, 42, 26, 34.5, 6, 62};
    auto const paired = paired_difference(a, b);
    CHECK(paired.low > 0);
    CHECK(mean_interval(b).low < mean_interval(a).high);
    CHECK_THROWS_AS(paired_difference(a, std::vector<double>{1}), ParameterError);
    CHECK_THROWS_AS(wilson_interval(3, 2), ParameterError);
    CHECK_THROWS_AS(wilson_interval(1, 2, 95), ParameterError);
}

TEST_SUITE_END();
