#include "weather/day_table.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/support/near.hpp"
#include "weather/daily_clearness.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

double variance(DayTable const& table) {
    double sum = 0, weights = 0;
    double const m = mean(table);
    for (std::size_t i = 0; i < DayTable::points; ++i) {
        double const z = deviate_of(i), weight = std::exp(-0.5 * z * z);
        sum += weight * (table.clearness[i] - m) * (table.clearness[i] - m);
        weights += weight;
    }
    return sum / weights;
}

}  // namespace

TEST_SUITE_BEGIN("weather/day_table");

TEST_CASE("straight lines between the points, constant beyond them") {
    DayTable table;
    for (std::size_t i = 0; i < DayTable::points; ++i) table.clearness[i] = 0.4 + 0.05 * deviate_of(i);
    CHECK(table.at(0) == Near{0.4, 1e-15, 0});
    CHECK(table.at(1.234) == Near{0.4617, 1e-15, 0});
    CHECK(table.at(-9) == Near{0.15, 1e-15, 0});
    CHECK(table.at(9) == Near{0.65, 1e-15, 0});
    CHECK(table.at(std::nan("")) == Near{0.15, 1e-15, 0});
    CHECK(mean(table) == Near{0.4, 1e-12, 0});
    // Of a normal distribution cut at its mean half is below it: E min(x, m) = m - s/sqrt(2 pi).
    CHECK(mean(table, 0.4) == Near{0.4 - 0.05 / std::sqrt(2 * 3.14159265358979), 1e-5, 0});
}

TEST_CASE("a beta distribution has the mean and variance wanted, with dark days and without") {
    for (double dark : {0.0, 0.06})
        for (BetaDays d : {BetaDays{0.5, 0.03, 0.05, 0.8, dark}, BetaDays{0.3, 0.03, 0.05, 0.7, dark},
                           BetaDays{0.62, 0.012, 0.05, 0.76, dark}}) {
            CAPTURE(dark);
            CAPTURE(d.mean);
            auto const table = table_of(d);
            CHECK(mean(table) == Near{d.mean, 0.002, 0});
            CHECK(variance(table) == Near{d.variance, 0, 0.03});
            CHECK(std::is_sorted(table.clearness.begin(), table.clearness.end()));
            CHECK(table.clearness.front() >= d.darkest);
            CHECK(table.clearness.back() <= d.clearest);
        }
}

// A beta distribution with both parameters 1 is even between its ends.
TEST_CASE("an even distribution") {
    auto const table = table_of(BetaDays{0.5, 0.64 / 12, 0.1, 0.9, 0});
    CHECK(table.at(0) == Near{0.5, 1e-4, 0});
    CHECK(table.at(1) == Near{0.1 + 0.8 * 0.841345, 1e-4, 0});
    CHECK(table.at(-2) == Near{0.1 + 0.8 * 0.02275, 1e-4, 0});
}

TEST_CASE("a sample gives its own days back") {
    auto const table = table_of({0.7, 0.2, 0.5}, 0.05);
    CHECK(table.at(0) == Near{0.5, 1e-12, 0});
    CHECK(table.clearness.front() == Near{0.05, 1e-4, 0});
    CHECK(table.clearness.back() == Near{0.7, 1e-12, 0});
}

TEST_CASE("a table moved to another mean keeps its darkest and clearest day") {
    auto const table = table_of(clearness_distribution(0.5));
    for (double wanted : {0.42, 0.5, 0.58}) {
        auto const moved = with_mean(table, wanted);
        CHECK(mean(moved) == Near{wanted, 1e-6, 0});
        CHECK(moved.clearness.front() == Near{table.clearness.front(), 0.01, 0});
        CHECK(moved.clearness.back() == Near{table.clearness.back(), 0.01, 0});
        auto const capped = with_mean(table, wanted, 0.7);
        CHECK(mean(capped, 0.7) == Near{wanted, 1e-6, 0});
    }
    auto const half = blend(table, with_mean(table, 0.6), 0.5);
    CHECK(mean(half) == Near{0.5 * (mean(table) + 0.6), 1e-6, 0});
}

TEST_SUITE_END();
