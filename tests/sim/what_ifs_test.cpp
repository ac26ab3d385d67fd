#include "sim/designs/what_ifs.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/designs/size_map.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

TEST_SUITE_BEGIN("sim/what_ifs");

TEST_CASE(
    "what moves the days to the first shortage, the longest bar first; without sun they are the autonomy") {
    auto const scenario = scenarios::base_design(scenarios::read_design_file(
                                                     HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"))
                              .scenario;
    auto const year = scenarios::read_scenario_weather(scenario, "");
    std::vector<double> const shares{0, 0.1, 0.2, 0.3};
    auto const days = days_to_shortage(scenario, year, shares);
    SiteCloudyPeriod site;
    site.clearness.assign(site_period_d, 0.12);
    CHECK(days[0] == figures_of(scenario, year, site).autonomy.water.worst_d);
    CHECK(std::is_sorted(days.begin(), days.end()));

    auto const w = what_ifs(scenario, year, shares, days);
    CHECK(w.base_days == days[static_cast<std::size_t>(std::lround(10 * w.clear_sky_share))]);
    auto const bar = [&](WhatIfChange change) {
        auto const at =
            std::find_if(w.bars.begin(), w.bars.end(), [&](auto const& b) { return b.change == change; });
        REQUIRE(at != w.bars.end());
        return *at;
    };
    auto const water = bar(WhatIfChange::water_used);
    CHECK(water.low == 0.75);
    CHECK(water.low_days >= w.base_days);
    CHECK(water.high_days <= w.base_days);
    auto const battery = bar(WhatIfChange::battery_left);
    CHECK(std::isnan(battery.high));
    CHECK(battery.low_days <= w.base_days);
    CHECK(bar(WhatIfChange::leak).high_days == w.days_with_leak);
    CHECK(w.days_with_leak < w.base_days);
    auto const lift = bar(WhatIfChange::static_level);
    CHECK(lift.low == -lift.high);
    auto const spread = [&](WhatIf const& b) {
        double least = w.base_days, most = w.base_days;
        for (double const d : {b.low_days, b.high_days}) {
            if (std::isnan(d)) continue;
            double const held = std::min(d, double{longest_shortage_days});
            least = std::min(least, held), most = std::max(most, held);
        }
        return most - least;
    };
    CHECK(std::is_sorted(w.bars.begin(), w.bars.end(),
                         [&](auto const& a, auto const& b) { return spread(a) > spread(b); }));
}

TEST_CASE("the map of sizes: the design's own cell is its verdict, and more of both holds in more years") {
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml");
    for (std::string const name : {"", "generator"}) {
        CAPTURE(name);
        auto const scenario = scenarios::named_design(file, name).scenario;
        auto const weather = scenarios::read_scenario_weather(scenario, "");
        auto const figure = name.empty() ? MapFigure::shortage_hours : MapFigure::generator_run_h;
        DrawnDesign const design{scenario, &weather};
        DrawOptions options;
        options.years = 5;
        options.begin_full = true;
        auto const verdict = verdicts_over_years({design}, options).designs[0].judged().judged();
        auto const map = size_map(design, options, verdict.years);
        CHECK(map.figure == figure);
        CHECK(map.years == 5);
        REQUIRE(map.array_factor.at(2) == 1);
        REQUIRE(map.battery_factor.at(2) == 1);
        CHECK(map.cells[2][2].held == verdict.verdict.held);
        double mean = 0;
        for (auto const& year : verdict.years) mean += map_value(year.summary, figure) / 5;
        CHECK(map.cells[2][2].figure == Near{mean, 1e-9, 1e-9});
        CHECK(map.cells[0][0].held <= map.cells[5][5].held);
        CHECK(map.cells[0][0].figure >= map.cells[5][5].figure);

        auto const hourly = make_inputs(scenario, weather);
        auto const typical = size_map(scenario, hourly);
        auto const own = simulate(make_system(scenario), hourly, Clock{}).summary;
        CHECK(typical.years == 0);
        CHECK(typical.cells[2][2].held == (own.shortage_hours == 0 ? 1 : 0));
        CHECK(typical.cells[2][2].figure == map_value(own, figure));
    }
}

// The factor of a system and the same factor on its inputs are one array.
TEST_CASE("an array of another size is the hourly array power times its factor") {
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const scenario = scenarios::base_design(file).scenario;
    auto const inputs = make_inputs(scenario, scenarios::read_scenario_weather(scenario, ""));
    auto const system = make_system(scenario);
    for (double const factor : {0.5, 1.7}) {
        auto larger = inputs.hours();
        for (auto* series : {&larger.array_power_w, &larger.array_window_loss_w})
            for (double& w : series->edit()) w *= factor;
        auto by_inputs = system;
        by_inputs.controller_limit_w *= factor;
        auto const a = simulate(by_inputs, CheckedInputs(larger), Clock{}).summary;
        auto const sized = with_array_factor(system, factor);
        auto const b = simulate(sized, inputs, Clock{}).summary;
        BatchJob const job{&sized, &inputs};
        auto const lanes = run_batch(std::span(&job, 1), Clock{}, {}).years.at(0);
        CHECK(lanes.in_lanes);
        for (auto const& field : summary_fields()) {
            if (field.name == "wall_time_s" || field.name.ends_with("residual_kwh") ||
                field.name.ends_with("residual_m3"))
                continue;
            CAPTURE(std::string(field.name));
            CHECK(b.*field.value == Near{a.*field.value, 1e-9, 1e-9});
            CHECK(lanes.summary.*field.value == Near{a.*field.value, 1e-9, 1e-9});
        }
    }
}

TEST_CASE("the water of the well is tried 15 % higher and 15 % deeper") {
    auto const scenario = scenarios::base_design(scenarios::read_design_file(
                                                     HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"))
                              .scenario;
    auto const year = scenarios::read_scenario_weather(scenario, "");
    std::vector<double> const shares{0, 0.1, 0.2, 0.3};
    auto const w = what_ifs(scenario, year, shares, days_to_shortage(scenario, year, shares));
    auto const bar = std::find_if(w.bars.begin(), w.bars.end(),
                                  [](auto const& b) { return b.change == WhatIfChange::static_level; });
    REQUIRE(bar != w.bars.end());
    CHECK(bar->high == Near{0.15 * scenario.lift.static_level_m, 1e-9, 0});
    CHECK(bar->low == Near{-0.15 * scenario.lift.static_level_m, 1e-9, 0});
}

TEST_SUITE_END();
