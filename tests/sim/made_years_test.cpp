#include "sim/designs/made_years.hpp"

#include <doctest/doctest.h>

#include <string>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

struct Place {
    scenarios::Scenario scenario;
    weather::WeatherYear year;
};

Place const& saltbush() {
    static Place const place = [] {
        Place p;
        p.scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
        p.year = scenarios::read_scenario_weather(p.scenario);
        return p;
    }();
    return place;
}

bool same(DrawnYear const& a, DrawnYear const& b) {
    for (auto const& f : summary_fields())
        if (a.summary.*f.value != b.summary.*f.value) return false;
    return a.problem == b.problem;
}

DrawOptions draws_of(int years, std::uint64_t seed = 1, int threads = 0) {
    DrawOptions o;
    o.years = years;
    o.seed = seed;
    o.threads = threads;
    return o;
}

}  // namespace

TEST_SUITE_BEGIN("sim/made_years");

TEST_CASE("a year depends on seed and number alone") {
    auto const& [scenario, year] = saltbush();
    auto const few = draw_years({{scenario, &year}}, draws_of(3, 1, 1)).years[0];
    auto const many = draw_years({{scenario, &year}}, draws_of(6, 1, 2)).years[0];
    auto const other = draw_years({{scenario, &year}}, draws_of(3, 2)).years[0];
    for (std::size_t i = 0; i < 3; ++i) {
        CAPTURE(i);
        CHECK(same(few[i], many[i]));
        CHECK(!same(few[i], other[i]));
    }
    CHECK(!same(few[0], few[1]));
}

TEST_CASE("every design gets the same years") {
    auto const& [scenario, year] = saltbush();
    auto bigger = scenario;
    bigger.battery.capacity_kwh *= 2;
    auto const draws = draw_years({{scenario, &year}, {bigger, &year}, {scenario, &year}}, draws_of(4));
    for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        CHECK(same(draws.years[0][i], draws.years[2][i]));
        CHECK(draws.years[0][i].summary.pv_available_kwh == draws.years[1][i].summary.pv_available_kwh);
        CHECK(draws.years[1][i].summary.shortage_hours <= draws.years[0][i].summary.shortage_hours);
    }
    CHECK(draws.drawn == "weather");
}

TEST_CASE("one demand without uses varies from day to day too, and that is said") {
    auto [scenario, year] = saltbush();
    models::WaterUse use;
    use.daily_m3 = scenario.demand.daily_m3;
    use.tap_flow_m3_s = scenario.demand.tap_flow_m3_s;
    use.day_variation = 0.3;
    scenario.demand.varying = use;
    CHECK(draw_years({{scenario, &year}}, draws_of(1)).drawn == "weather, demand from day to day");
}

TEST_CASE(
    "years on record are taken one after the other, and where nothing else is drawn they are themselves") {
    auto const& [scenario, year] = saltbush();
    auto dim = year;
    for (auto* series : {&dim.ghi_w_m2, &dim.dni_w_m2, &dim.dhi_w_m2})
        for (double& v : *series) v *= 0.9;
    auto options = draws_of(4);
    options.records = {year, dim};
    auto const years = draw_years({{scenario, &year}}, options).years[0];
    CHECK(same(years[0], run_year(scenario, year)));
    CHECK(same(years[1], run_year(scenario, dim)));
    CHECK(same(years[2], years[0]));
    CHECK(same(years[3], years[1]));
}

TEST_CASE("outages and demand are drawn anew where the scenario draws them; listed outages stay") {
    auto grid = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/alder-flat-grid-first.toml");
    auto const year = scenarios::read_scenario_weather(grid);
    grid.listed_outages = {{100, 148}};
    grid.outage_draw = models::OutageDrawParameters{8, 6, 1.3};
    auto options = draws_of(3);
    options.records = {year};
    auto const draws = draw_years({{grid, &year}}, options);
    CHECK(draws.drawn.find("outages") != std::string::npos);
    CHECK(!same(draws.years[0][0], draws.years[0][1]));
    auto without = grid;
    without.outage_draw.reset();
    without.outages = without.listed_outages;
    auto const listed = draw_years({{without, &year}}, options).years[0];
    CHECK(same(listed[0], listed[1]));
    // 48 h of listed outage at the least: more grid energy with it than without any would be wrong.
    without.listed_outages = without.outages = {};
    CHECK(run_year(without, year).summary.grid_kwh > listed[0].summary.grid_kwh);

    auto varied = saltbush().scenario;
    models::WaterUse use = models::household_use("house", 4, 0.3, 2e-4);
    use.day_variation = 0.4;
    varied.demand.uses = {use};
    varied.demand.from_trough = {false};
    options.records = {saltbush().year};
    auto const demand = draw_years({{varied, &saltbush().year}}, options);
    CHECK(demand.drawn.find("demand from day to day") != std::string::npos);
    CHECK(!same(demand.years[0][0], demand.years[0][1]));
    // The year's total stays.
    CHECK(demand.years[0][0].summary.water_demand_m3 ==
          Near{demand.years[0][1].summary.water_demand_m3, 0, 1e-9});
}

// By hand, values 0 .. 10: 10 % at 1, 90 % at 9.
TEST_CASE("spread and odds") {
    std::vector<double> values;
    std::vector<DrawnYear> years(11);
    for (int i = 0; i <= 10; ++i) {
        values.push_back(10 - i);
        years[static_cast<std::size_t>(i)].summary.shortage_hours = i;
    }
    auto const less = spread_of(values, -1), more = spread_of(values, 1);
    CHECK(less.low == Near{1, 1e-12, 0});
    CHECK(less.high == Near{9, 1e-12, 0});
    CHECK(less.bad == less.high);
    CHECK(less.worst == 10);
    CHECK(more.bad == more.low);
    CHECK(more.worst == 0);
    CHECK(less.median == 5);
    CHECK(less.mean == 5);
    years[10].problem = "could not be run";
    auto const odds = odds_of(years, [](DrawnYear const& y) { return y.summary.shortage_hours < 5; });
    CHECK(odds.times == 5);
    CHECK(odds.years == 10);
    CHECK(odds.share.low == models::wilson_interval(5, 10).low);
}

TEST_CASE("what cannot be drawn is refused") {
    auto const& [scenario, year] = saltbush();
    CHECK_THROWS_AS(draw_years({{scenario, &year}}, draws_of(0)), models::ParameterError);
    auto wrong = scenario;
    wrong.demand.daily_m3 = -1;
    CHECK_THROWS_AS(draw_years({{wrong, &year}}, draws_of(1)), std::invalid_argument);
}

TEST_SUITE_END();
