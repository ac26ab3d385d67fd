#include "models/numeric/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/statistics");

// Recomputed: n 30, s 1.5 (t = 2.045230). Printed to 1e-6.
TEST_CASE("half-width of the interval of a mean") {
    CHECK(mean_half_width(1.5, 30) == Near{0.560109, 5e-7, 0});
    CHECK(mean_half_width(1, 30) * std::sqrt(30.0) == Near{2.045230, 5e-7, 0});
}

// Exact intervals printed to four digits by Newcombe, Statistics in Medicine 17, 1998, p. 857, Table I,
// method 5 (values from memory, recomputed from sums of the binomial distribution).
TEST_CASE("Clopper-Pearson intervals of the literature") {
    struct Row {
        int k, n;
        double low, high;
    };
    for (auto const& [k, n, low, high] : {
             Row{81, 263, 0.2527, 0.3676},
             Row{15, 148, 0.0578, 0.1617},
             Row{0, 20, 0.0000, 0.1684},
             Row{1, 29, 0.0009, 0.1776},
         }) {
        CAPTURE(k);
        auto const interval = clopper_pearson_interval(k, n, 0.95);
        CHECK(interval.low == Near{low, 5e-5, 0});
        CHECK(interval.high == Near{high, 5e-5, 0});
    }
    // By its definition: with the upper end as the true share k or fewer come up in 5 % of all samples.
    auto const interval = clopper_pearson_interval(46, 50);
    double at_most = 0, term = std::pow(1 - interval.high, 50);
    for (int k = 0; k <= 46; ++k) {
        at_most += term;
        term *= (50.0 - k) / (k + 1) * interval.high / (1 - interval.high);
    }
    CHECK(at_most == Near{0.05, 1e-9, 0});
    CHECK(clopper_pearson_interval(50, 50).high == 1);
    CHECK_THROWS_AS(clopper_pearson_interval(3, 2), ParameterError);
}

// By hand: h = p (n - 1).
TEST_CASE("quantiles of a sample") {
    std::vector<double> const four{4, 1, 3, 2};
    CHECK(quantile(four, 0.1) == Near{1.3, 1e-12, 0});
    CHECK(quantile(four, 0.5) == Near{2.5, 1e-12, 0});
    CHECK(quantile(four, 0.9) == Near{3.7, 1e-12, 0});
    CHECK(quantile(four, 0) == 1);
    CHECK(quantile(four, 1) == 4);
    CHECK(quantile(std::vector<double>{7}, 0.3) == 7);
    double const never = std::numeric_limits<double>::infinity();
    CHECK(quantile(std::vector<double>{1, never, never}, 0.9) == never);
    CHECK(quantile(std::vector<double>{1, 2, never}, 0.5) == 2);
    CHECK_THROWS_AS(quantile(std::vector<double>{}, 0.5), ParameterError);
    CHECK_THROWS_AS(quantile(four, 10), ParameterError);
}

// A year not yet seen falls between the 10 % and the 90 % of n years with probability 0.8 (n - 1)/(n + 1):
// the share below the value at h of a sorted sample is (h + 1)/(n + 1) on average (uniform order statistics).
// 20000 trials, n 20: four standard deviations 0.013.
TEST_CASE("a new year falls into the 10 to 90 % range as often as it should") {
    std::mt19937_64 engine(23);
    auto const draw = [&] { return static_cast<double>(engine() >> 11) * 0x1p-53; };
    int inside = 0, trials = 20000;
    std::vector<double> years(20);
    for (int i = 0; i < trials; ++i) {
        for (double& year : years) year = draw();
        double const next = draw();
        inside += quantile(years, 0.1) <= next && next <= quantile(years, 0.9);
    }
    CHECK(inside / double(trials) == Near{0.8 * 19 / 21, 0.013, 0});
}

TEST_CASE("mean and deviation") {
    std::vector<double> const values{2, 4, 4, 4, 5, 5, 7, 9};
    CHECK(mean(values) == 5);
    CHECK(sample_deviation(values) == Near{std::sqrt(32.0 / 7), 0, 1e-12});
    auto const interval = mean_interval(values);
    CHECK(interval.high - interval.center == Near{interval.center - interval.low, 0, 1e-12});
    CHECK(std::isinf(mean_interval(std::vector<double>{1}).high));
    CHECK(sample_deviation(std::vector<double>{1}) == 0);
}

// What the exact interval promises: at least 90 of 100 intervals contain the true value, and not many more.
// 4000 trials, four standard deviations 0.019.
TEST_CASE("intervals hold the truth at least as often as they say") {
    std::mt19937_64 engine(17);
    int held = 0, trials = 4000;
    for (int i = 0; i < trials; ++i) {
        int k = 0;
        for (int j = 0; j < 120; ++j) k += static_cast<double>(engine() >> 11) * 0x1p-53 < 0.08;
        auto const interval = clopper_pearson_interval(k, 120);
        held += interval.low <= 0.08 && 0.08 <= interval.high;
    }
    CHECK(held / double(trials) > 0.9 - 0.019);
    CHECK(held / double(trials) < 0.97);
    CHECK_THROWS_AS(clopper_pearson_interval(1, 2, 95), ParameterError);
}

TEST_SUITE_END();
