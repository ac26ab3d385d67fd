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
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;

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

TEST_CASE("the map of sizes has the design's own year in it, and the figure of its backup") {
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml");
    for (std::string const name : {"", "generator"}) {
        CAPTURE(name);
        auto const scenario = scenarios::named_design(file, name).scenario;
        auto const hourly = make_inputs(scenario, scenarios::read_scenario_weather(scenario, ""));
        auto const system = make_system(scenario);
        auto const own = simulate(system, hourly, Clock{}).summary;
        auto const map = size_map(system, hourly.hours());
        CHECK(map.figure == (name.empty() ? MapFigure::shortage_hours : MapFigure::generator_run_h));
        REQUIRE(map.array_factor.at(2) == 1);
        REQUIRE(map.battery_factor.at(2) == 1);
        CHECK(map.years.size() == map.battery_factor.size());
        CHECK(map.years[2][2].shortage_hours == own.shortage_hours);
        CHECK(map.years[2][2].battery_out_kwh == own.battery_out_kwh);
        CHECK(map_value(map.years[2][2], map.figure) ==
              (name.empty() ? own.shortage_hours : own.generator_run_h));
        // With half of both, no more water is delivered than with three times both.
        CHECK(map.years[0][0].demand_met_fraction <= map.years[5][5].demand_met_fraction);
    }
}

TEST_SUITE_END();
