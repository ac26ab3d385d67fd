#include "models/battery/battery_aging.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

constexpr double left_out = std::numeric_limits<double>::infinity();

CycleLife example() { return fit_cycle_life({{0.2, 4500}, {0.5, 1800}, {0.8, 1100}}); }

}  // namespace

TEST_SUITE_BEGIN("models/battery_aging");

// Invented rows; fit and damage recomputed. Printed to the digits shown.
TEST_CASE("cycle life is fitted and damage summed over counted ranges") {
    auto const life = example();
    CHECK(life.a == Near{882.825, 5e-4, 0});
    CHECK(life.b == Near{1.013988, 5e-7, 0});
    CHECK(cycles_to_end(life, 0.2) == Near{4514.6, 0.05, 0});
    CHECK(cycles_to_end(life, 0.5) == Near{1782.9, 0.05, 0});
    CHECK(cycles_to_end(life, 0.8) == Near{1107.0, 0.05, 0});
    std::vector<double> const soc{1.0, .55, .80, .40, .95, .70, .90, .50, 1.0};
    auto const ranges = rainflow(soc);
    struct Row {
        double range, count;
    };
    std::vector<Row> const rows{{.25, 1}, {.20, 1}, {.45, 1}, {.60, .5}, {.60, .5}};
    REQUIRE(ranges.size() == rows.size());
    for (auto const& [range, count] : rows)
        CHECK(std::count_if(ranges.begin(), ranges.end(), [&](CountedRange const& r) {
                  return std::abs(r.range - range) < 1e-9 && r.count == count;
              }) == std::count_if(rows.begin(), rows.end(), [&](Row const& r) {
                  return r.range == range && r.count == count;
              }));
    CHECK(cycling_damage(life, ranges) == Near{1.678108e-3, 0, 1e-6});
}

// One cycle of 0.45 a day, calendar life 8 years: recomputed, printed to 1e-6 and 1e-5.
TEST_CASE("years to replacement name the rule that decides") {
    double const per_year = 365 / cycles_to_end(example(), 0.45);
    CHECK(per_year == Near{0.183984, 1e-6, 0});
    YearOfUse use{per_year, 8, 1, 0, left_out};
    auto const shortest = battery_life(use, LifeCombination::shortest);
    CHECK(shortest.years == Near{5.43526, 1e-5, 0});
    CHECK(shortest.rule == LifeRule::cycling);
    CHECK(name(shortest.rule) == "cycling");
    auto const additive = battery_life(use, LifeCombination::additive);
    CHECK(additive.years == Near{3.23641, 1e-5, 0});
    CHECK(additive.rule == LifeRule::cycling_and_calendar);
    // Hot: 35 deg C with halving per 10 K doubles the calendar wear.
    use.mean_calendar_factor = calendar_factor(35, 10);
    CHECK(battery_life(use, LifeCombination::shortest).rule == LifeRule::calendar);
    CHECK(battery_life(use, LifeCombination::shortest).years == Near{4, 0, 1e-12});
    // Throughput decides when it is the least.
    use.discharged_kwh = 1000;
    use.throughput_life_kwh = 2000;
    CHECK(battery_life(use, LifeCombination::additive).rule == LifeRule::throughput);
    CHECK(battery_life(use, LifeCombination::additive).years == 2);
    // Nothing wears the battery.
    auto const idle = battery_life({0, left_out, 1, 0, left_out}, LifeCombination::additive);
    CHECK(std::isinf(idle.years));
    CHECK(name(idle.rule) == "nothing");
}

TEST_CASE("the mean of the calendar factor, not the factor of the mean") {
    std::vector<double> const swing{5, 45};
    CHECK(mean_calendar_factor(swing, 10) == Near{(0.25 + 4) / 2, 0, 1e-12});
    CHECK(mean_calendar_factor(swing, 10) > calendar_factor(25, 10));
    CHECK(mean_calendar_factor({}, 10) == 1);
}

TEST_CASE("a bent curve is recovered, constant throughput is constant, fade ends at 80 %") {
    CycleLife const bent{3000, 0.8, 0.9};
    std::vector<CyclesAtDepth> rows;
    for (double depth : {0.1, 0.3, 0.5, 0.8, 1.0}) rows.push_back({depth, cycles_to_end(bent, depth)});
    auto const fit = fit_cycle_life(rows, true);
    CHECK(fit.a == Near{3000, 0, 1e-9});
    CHECK(fit.b == Near{0.8, 0, 1e-9});
    CHECK(fit.g == Near{0.9, 0, 1e-9});
    CycleLife const constant{1000, 1};
    CHECK(0.2 * cycles_to_end(constant, 0.2) == Near{0.8 * cycles_to_end(constant, 0.8), 0, 1e-12});
    CHECK(cycles_to_end(constant, 0.001) == cycles_to_end(constant, 0.02));
    CHECK(cycling_damage(constant, std::vector<CountedRange>{{0.009, 1, 0.5}}) == 0);
    CHECK(remaining_capacity(0) == 1);
    CHECK(remaining_capacity(1) == Near{0.8, 0, 1e-12});
    CHECK(remaining_capacity(10) == 0);
}

TEST_CASE("rows that make no sense are refused") {
    CHECK_THROWS_AS(fit_cycle_life({{0.2, 4500}}), ParameterError);
    CHECK_THROWS_AS(fit_cycle_life({{0.2, 4500}, {0.5, 1800}}, true), ParameterError);
    CHECK_THROWS_AS(fit_cycle_life({{0.2, 4500}, {1.5, 1800}}), ParameterError);
    CHECK_THROWS_WITH_AS(fit_cycle_life({{0.2, 1800}, {0.5, 4500}}),
                         "cycle life cycles = 4500 (must fall while the depth rises)", ParameterError);
    CHECK_THROWS_AS(battery_life({-1, 8, 1, 0, left_out}, LifeCombination::additive), ParameterError);
}

TEST_SUITE_END();
