#include "tests/sim/brute_force.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <iostream>
#include <string>
#include <vector>

#include "scenarios/scenario.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"
#include "tests/support/near.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;
using test::Near;

namespace {

std::string const scenarios_folder = std::string(HOLDWATER_SOURCE) + "/scenarios/";

struct Row {
    std::string scenario, weather;  // weather below HOLDWATER_SHARED, or "" for the scenario's own
    int first_day;
};

void compare(Row const& row) {
    auto const scenario = scenarios::read_scenario(scenarios_folder + row.scenario);
    std::string const file = row.weather.empty() ? scenario.weather_path
                                                 : std::string(HOLDWATER_SHARED) + "/weather/" + row.weather;
    if (!std::filesystem::exists(file)) {
        std::cout << "SKIPPED brute force on " << row.weather << ": not found below HOLDWATER_SHARED\n";
        return;
    }
    auto const system = sim::make_system(scenario);
    auto const inputs = sim::make_inputs(scenario, weather::read_weather(file));
    constexpr int hours = 14 * 24;
    auto const result = sim::simulate(system, inputs, {row.first_day * 24, hours});
    auto const& s = result.summary;
    auto const b = test::brute_force(system, inputs, row.first_day * 24, hours);

    CAPTURE(row.scenario);
    CAPTURE(file);
    CAPTURE(row.first_day);
    CHECK(s.water_delivered_m3 == Near{b.delivered_m3, 0, 0.001});
    CHECK(s.battery_in_kwh == Near{b.battery_in_kwh, 0, 0.01});
    CHECK(s.battery_out_kwh == Near{b.battery_out_kwh, 0, 0.01});
    // A set that does not run in either is equal; the hundredth of an hour is for that case.
    CHECK(s.generator_run_h == Near{b.generator_h, 0.01, 0.02});
    CHECK(s.grid_kwh == Near{b.grid_kwh, 0.01, 0.02});
    CHECK(s.pump_starts == Near{b.pump_starts, 0.5, 0.01});
    CHECK(s.load_served_kwh == Near{b.load_served_kwh, 0, 0.001});
    double pumped_m3 = 0, inflow_m3 = 0;
    for (auto const& r : result.hours) {
        pumped_m3 += r.water_pumped_m3;
        inflow_m3 += r.well_inflow_m3;
    }
    CHECK(pumped_m3 == Near{b.pumped_m3, 0, 0.005});
    CHECK(inflow_m3 == Near{b.well_inflow_m3, 1e-6, 0.005});
    CHECK(result.findings.dry_run_trips == Near{b.trips, 1, 0.05});
    CHECK(result.findings.fill_pump_run_h == Near{b.fill_run_h, 0.02, 0.01});
}

}  // namespace

TEST_SUITE_BEGIN("sim/brute_force");

TEST_CASE("the year loop agrees with one-second integration of the same equations, made weather") {
    for (Row const& row : std::vector<Row>{{"juniper-bend-household.toml", "", 0},
                                           {"juniper-bend-household.toml", "", 330},
                                           {"alder-flat-outages.toml", "", 10},
                                           {"alder-flat-outages.toml", "", 350},
                                           {"saltbush-livestock.toml", "", 0},
                                           {"juniper-bend-tankless.toml", "", 150},
                                           {"juniper-bend-tankless.toml", "", 340},
                                           {"alder-flat-cistern.toml", "", 10},
                                           {"alder-flat-cistern.toml", "", 200},
                                           {"saltbush-low-yield.toml", "", 5},
                                           {"saltbush-low-yield.toml", "", 205},
                                           {"saltbush-livestock.toml", "", 180}})
        compare(row);
}

TEST_CASE("the same on measured typical years") {
    for (Row const& row : std::vector<Row>{{"juniper-bend-household.toml", "boise-tmy3.csv", 0},
                                           {"juniper-bend-household.toml", "chicago-ohare.epw", 340},
                                           {"alder-flat-outages.toml", "chicago-ohare.epw", 10},
                                           {"saltbush-livestock.toml", "bishop-tmy3.csv", 340},
                                           {"saltbush-livestock.toml", "denver-intl.epw", 120}})
        compare(row);
}

TEST_SUITE_END();
