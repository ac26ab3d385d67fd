#include "weather/fit_days.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "tests/support/near.hpp"
#include "weather/daily_clearness.hpp"
#include "weather/day_chain.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;

namespace {

constexpr double summer_k = 0.6, winter_k = 0.45;

double monthly_k(std::size_t m) {
    return 0.5 * (summer_k + winter_k) -
           0.5 * (summer_k - winter_k) * std::cos(2 * 3.14159265358979 * static_cast<double>(m) / 12);
}

/// Years of a chain with known memory and slow part.
std::vector<std::vector<double>> years_of(double memory, double slow_share, int count) {
    DayChain chain;
    chain.day_to_day.fill(memory);
    chain.slow_share = slow_share;
    chain.slow_days = TypicalRule{}.slow_days;
    std::array<DayTable, 12> tables;
    for (std::size_t m = 0; m < 12; ++m)
        tables[m] = with_mean(table_of(clearness_distribution(monthly_k(m))), monthly_k(m));
    std::vector<std::vector<double>> years;
    for (int y = 0; y < count; ++y) {
        auto const d = day_deviates(chain, 3, y);
        std::vector<double> daily;
        for (std::size_t day = 0; day < 365; ++day)
            daily.push_back(tables[month_of_day[day]].at(d.clearness[day]));
        years.push_back(daily);
    }
    return years;
}

double mean_of(std::array<double, 12> const& values) {
    double sum = 0;
    for (double v : values) sum += v / 12;
    return sum;
}

}  // namespace

TEST_SUITE_BEGIN("weather/fit_days");

TEST_CASE("recorded years give back memory, slow part and means of what they were made from") {
    for (double slow_share : {0.0, 0.12}) {
        CAPTURE(slow_share);
        auto const fit = fit_recorded_years(years_of(0.4, slow_share, 100));
        CHECK(mean_of(fit.chain.day_to_day) == Near{0.4, 0.02, 0});
        // 1,200 months; the rule's ten years draw it by a tenth of the difference.
        double const drawn = (100 * slow_share + 10 * TypicalRule{}.slow_share) / 110;
        CHECK(fit.chain.slow_share == Near{drawn, 0.02, 0});
        for (std::size_t m = 0; m < 12; ++m) {
            CAPTURE(m);
            // A month's mean has a deviation of 0.05; four standard errors of 100 of them.
            CHECK(fit.clearness[m] == Near{monthly_k(m), 0.02, 0});
            CHECK(mean(fit.days[m]) == Near{fit.clearness[m], 0.002, 0});
        }
    }
}

TEST_CASE("few recorded years keep close to the rule in what they cannot show") {
    auto const one = fit_recorded_years(years_of(0.4, 0.3, 1));
    CHECK(one.chain.slow_share == Near{TypicalRule{}.slow_share, 1e-12, 0});
    auto const five = fit_recorded_years(years_of(0.4, 0.3, 5));
    CHECK(five.chain.slow_share > TypicalRule{}.slow_share);
    CHECK(five.chain.slow_share < 0.15);
}

TEST_CASE("a typical year: means move towards the curve through their neighbors, days spread more") {
    auto daily = years_of(0.3, 0, 1).front();
    TypicalRule rule;
    rule.smoothing = 0;
    auto const as_it_is = fit_typical_year(daily, rule);
    rule.smoothing = 1;
    auto const smooth = fit_typical_year(daily, rule);
    double own = 0, curve = 0;
    for (std::size_t m = 0; m < 12; ++m) {
        own += std::pow(as_it_is.clearness[m] - monthly_k(m), 2);
        curve += std::pow(smooth.clearness[m] - monthly_k(m), 2);
        CHECK(mean(as_it_is.days[m]) == Near{as_it_is.clearness[m], 0.003, 0});
    }
    CHECK(curve < own);
    CHECK(mean_of(smooth.clearness) == Near{mean_of(as_it_is.clearness), 1e-12, 0});
    CHECK(smooth.chain.slow_share == TypicalRule{}.slow_share);
}

// Days made with the published distribution of their month have its variance; the fit gives it back, month by
// month, from one ratio for the whole year.
TEST_CASE("a typical year: the spread of days follows from the monthly means and one ratio") {
    TypicalRule rule;
    rule.spread_factor = 1;
    rule.own_shape = 0;
    rule.smoothing = 0;
    std::array<double, 12> ratio{};
    constexpr int files = 40;
    for (auto const& daily : years_of(0.3, 0, files)) {
        auto const fit = fit_typical_year(daily, rule);
        for (std::size_t m = 0; m < 12; ++m) {
            double mean_k = 0, mean_square = 0, weights = 0;
            for (std::size_t i = 0; i < DayTable::points; ++i) {
                double const z = deviate_of(i), weight = std::exp(-0.5 * z * z);
                weights += weight;
                mean_k += weight * fit.days[m].clearness[i];
                mean_square += weight * fit.days[m].clearness[i] * fit.days[m].clearness[i];
            }
            double const spread = mean_square / weights - std::pow(mean_k / weights, 2);
            ratio[m] += spread / variance(clearness_distribution(fit.clearness[m])) / files;
        }
    }
    for (std::size_t m = 0; m < 12; ++m) {
        CAPTURE(m);
        // 365 days with memory 0.3 in each file: a standard error of 6 % in one, 1 % in forty. Days of a
        // month spread about their own mean, which takes 3 %; in the clearest months the dark days alone give
        // a few percent more than asked for.
        CHECK(ratio[m] == Near{1, 0.05, 0});
    }
}

TEST_CASE("a typical year's own memory is used in part") {
    double low = 0, high = 0;
    for (auto const& daily : years_of(0.1, 0, 10))
        low += mean_of(fit_typical_year(daily).chain.day_to_day) / 10;
    for (auto const& daily : years_of(0.5, 0, 10))
        high += mean_of(fit_typical_year(daily).chain.day_to_day) / 10;
    TypicalRule const rule;
    // Ten years: a standard error of 0.02 each.
    CHECK(high - low == Near{0.4 * rule.memory_slope, 0.1, 0});
}

TEST_CASE("a file without any spread can be fitted") {
    auto const fit = fit_typical_year(std::vector<double>(365, 0.5));
    for (std::size_t m = 0; m < 12; ++m) CHECK(mean(fit.days[m]) == Near{0.5, 0.02, 0});
}

TEST_SUITE_END();
