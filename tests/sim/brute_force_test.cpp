#include "tests/sim/brute_force.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <iostream>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/random_sources.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;
using test::Draw, test::Near;

namespace {

std::string const scenarios_folder = std::string(HOLDWATER_SOURCE) + "/scenarios/";

struct Row {
    std::string scenario, weather;  // weather below HOLDWATER_SHARED, or "" for the scenario's own
    int first_day;
};

// Two weeks by both, or other days; returns the year loop's figures.
sim::Summary compare(sim::System const& system, sim::HourlyInputs const& inputs, int first_day, int days = 14,
                     test::PhaseLoads const* phase_w = nullptr) {
    int const hours = 24 * days;
    auto const result = sim::simulate(system, inputs, {first_day * 24, hours});
    auto const& s = result.summary;
    auto const b = test::brute_force(system, inputs, first_day * 24, hours, 1, nullptr, 3600, phase_w);
    CAPTURE(first_day);
    CHECK(s.water_delivered_m3 == Near{b.delivered_m3, 0, 0.001});
    CHECK(s.battery_in_kwh == Near{b.battery_in_kwh, 0, 0.01});
    CHECK(s.battery_out_kwh == Near{b.battery_out_kwh, 0, 0.01});
    // A generator that runs in neither of the two is equal; the hundredth of an hour is for that case.
    CHECK(s.generator_run_h == Near{b.generator_h, 0.01, 0.02});
    CHECK(s.generator_kwh == Near{b.generator_kwh, 0.01, 0.02});
    CHECK(s.grid_kwh == Near{b.grid_kwh, 0.01, 0.02});
    CHECK(s.pass_through_loss_kwh == Near{b.pass_through_kwh, 0.01, 0.02});
    CHECK(s.pump_starts == Near{b.pump_starts, 0.5, 0.01});
    CHECK(s.transfers == Near{b.transfers, 0.5, 0.01});
    CHECK(result.findings.inverter_trips == Near{b.inverter_trips, 0.5, 0});
    CHECK(result.findings.overload_transfers == Near{b.overload_transfers, 0.5, 0});
    CHECK(s.ac_served_kwh == Near{b.ac_served_kwh, 0, 0.001});
    double pumped_m3 = 0, inflow_m3 = 0;
    for (auto const& r : result.hours) {
        pumped_m3 += r.water_pumped_m3;
        inflow_m3 += r.well_inflow_m3;
    }
    CHECK(pumped_m3 == Near{b.pumped_m3, 0, 0.005});
    CHECK(inflow_m3 == Near{b.well_inflow_m3, 1e-6, 0.005});
    CHECK(result.findings.dry_run_trips == Near{b.trips, 1, 0.05});
    CHECK(result.findings.fill_pump_run_h == Near{b.fill_run_h, 0.02, 0.01});
    CHECK(result.findings.low_pressure_cutoffs == Near{b.cutoffs, 0.5, 0});
    CHECK(std::abs(s.energy_residual_kwh) < 1e-9);
    CHECK(std::abs(s.water_residual_m3) < 1e-9);
    return s;
}

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
    CAPTURE(row.scenario);
    CAPTURE(file);
    compare(system, inputs, row.first_day);
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

// Half the demo's battery, in December: the generator has to run, and without topping up the SOC at night is
// lower.
TEST_CASE("the same with a generator that is silent at night and tops up before") {
    auto const scenario = scenarios::read_scenario(scenarios_folder + "juniper-bend-household.toml");
    auto const inputs = sim::make_inputs(scenario, weather::read_weather(scenario.weather_path));
    auto system = sim::make_system(scenario);
    system.battery.capacity_kwh *= 0.5;
    auto& o = system.generator_operation;
    o.run.quiet_from_h = 20.5;
    o.run.quiet_to_h = 7.25;
    double const without = compare(system, inputs, 340).soc_min;
    struct Evening {
        double within_h, below;
    };
    for (auto const& [within_h, below] : std::vector<Evening>{{2.5, 0.6}, {2.5, 0.7}, {6, 0.7}, {6, 0.78}}) {
        CAPTURE(within_h);
        CAPTURE(below);
        o.run.top_up_within_h = within_h;
        o.top_up_below = below;
        auto const s = compare(system, inputs, 340);
        CHECK(s.soc_min > without + 0.01);
        CHECK(s.generator_run_h > 5);
    }
}

// A battery too small for the nights of December: the tank is emptied each night, and the pressure switch
// opens and waits for someone, or a few minutes.
TEST_CASE("the same with a pressure switch that stays off") {
    auto const scenario = scenarios::read_scenario(scenarios_folder + "juniper-bend-household.toml");
    auto const inputs = sim::make_inputs(scenario, weather::read_weather(scenario.weather_path));
    auto system = sim::make_system(scenario);
    system.rules.backup = sim::Backup::none;
    system.battery.capacity_kwh *= 0.3;
    double short_by_hand_m3 = 0;
    for (bool const by_hand : {true, false}) {
        CAPTURE(by_hand);
        system.cutoff =
            models::LowPressureCutoff{.cutoff_kpa = system.tank.cut_in_kpa - 69, .by_hand = by_hand};
        if (by_hand) system.cutoff->attended_from_h = 17, system.cutoff->attended_to_h = 21;
        auto const s = compare(system, inputs, 340);
        CHECK(s.water_short_m3 > 0.1);
        if (by_hand)
            short_by_hand_m3 = s.water_short_m3;
        else
            CHECK(s.water_short_m3 < short_by_hand_m3);
    }
}

// The cistern is filled at midday, and the well pump runs with surplus of the array, or above a SOC.
TEST_CASE("the same with a pump that waits for the sun") {
    auto const cistern = scenarios::read_scenario(scenarios_folder + "alder-flat-cistern.toml");
    auto const inputs = sim::make_inputs(cistern, weather::read_weather(cistern.weather_path));
    auto system = sim::make_system(cistern);
    system.cistern->fill_hours = {10, 15};
    compare(system, inputs, 100);
    auto const house = scenarios::read_scenario(scenarios_folder + "juniper-bend-household.toml");
    auto const of_house = sim::make_inputs(house, weather::read_weather(house.weather_path));
    auto gated = sim::make_system(house);
    gated.pump_gate = models::PumpGate{.surplus_above_w = 300};
    compare(gated, of_house, 150);
    gated.pump_gate = models::PumpGate{.battery_above = 0.6, .battery_band = 0.1, .surplus_above_w = 800};
    compare(gated, of_house, 20);
}

// Storms that are announced: until they come the battery is charged from the grid and the cistern filled.
TEST_CASE("the same with outages that are known before") {
    for (std::string const name : {"alder-flat-outages.toml", "alder-flat-cistern.toml"}) {
        CAPTURE(name);
        auto const scenario = scenarios::read_scenario(scenarios_folder + name);
        auto const inputs = sim::make_inputs(scenario, weather::read_weather(scenario.weather_path));
        auto system = sim::make_system(scenario);
        if (system.rules.backup != sim::Backup::grid) continue;
        system.outages = {{24 * 12 + 5.0, 24 * 14 + 9.0}, {24 * 19 + 2.0, 24 * 19 + 4.0}};
        system.rules.forewarned_h = 30;
        compare(system, inputs, 10);
    }
}

// A well near its yield with a trough behind it is a chain of thresholds: sooner or later one of them is met
// within a second of an hour's end, and from then on the two go different ways (here after 15 hours, when one
// starts the pump at the end of an hour and the other at the beginning of the next). Until then level and
// trough are compared hour by hour; over the quarter only what the phase does not change.
TEST_CASE("a low-yield well with a trough agrees hour by hour, and over a quarter in its totals") {
    auto const scenario = scenarios::read_scenario(scenarios_folder + "saltbush-low-yield.toml");
    auto const system = sim::make_system(scenario);
    auto const inputs = sim::make_inputs(scenario, weather::read_weather(scenario.weather_path));
    constexpr int first = 205 * 24, hours = 90 * 24;
    auto const result = sim::simulate(system, inputs, {first, hours});
    auto const b = test::brute_force(system, inputs, first, hours);
    for (std::size_t i = 0; i < 15; ++i) {
        CAPTURE(i);
        CHECK(result.hours[i].well_level_m == Near{b.well_level_m[i], 0.05, 0});
        CHECK(result.hours[i].trough_water_m3 == Near{b.trough_m3[i], 0.002, 0});
    }
    double pumped_m3 = 0, inflow_m3 = 0;
    for (auto const& r : result.hours) {
        pumped_m3 += r.water_pumped_m3;
        inflow_m3 += r.well_inflow_m3;
    }
    CHECK(pumped_m3 == Near{b.pumped_m3, 0, 0.005});
    CHECK(inflow_m3 == Near{b.well_inflow_m3, 0, 0.005});
    CHECK(result.summary.water_delivered_m3 == Near{b.delivered_m3, 0, 0.005});
}

// With other days of the same household the trips of two whole years; eight such years gave 2563 and 2580.
TEST_CASE("the dry-run trips of a low-yield well agree over years") {
    auto scenario = scenarios::read_scenario(scenarios_folder + "saltbush-low-yield.toml");
    auto const system = sim::make_system(scenario);
    auto const year = weather::read_weather(scenario.weather_path);
    double trips = 0, plain_trips = 0;
    for (std::uint64_t const seed : {1U, 2U}) {
        scenario.demand.seed = seed;
        auto const inputs = sim::make_inputs(scenario, year);
        trips += sim::simulate(system, inputs, {}).findings.dry_run_trips;
        plain_trips += test::brute_force(system, inputs, 0, 8760).trips;
    }
    CHECK(trips == Near{plain_trips, 0, 0.08});
}

namespace {

// A design with a grid and a plain water side.
struct Drawn {
    sim::System system;
    sim::HourlyInputs inputs;
};
constexpr int drawn_days = 20;
Drawn on_grid(Draw& draw) {
    Drawn d{test::random_system(draw), {}};
    d.system.battery.discharge_limit_kw = 1e3;  // the integrator has none
    d.inputs = test::random_inputs(draw, 24 * drawn_days);
    test::random_grid(draw, d.system, 24 * drawn_days);
    return d;
}
template <class Run>
void for_each_drawn(std::uint64_t first, std::uint64_t last, Run const& run) {
    for (auto seed = first; seed <= last; ++seed) {
        CAPTURE(seed);
        Draw draw(seed);
        auto d = on_grid(draw);
        run(draw, d);
    }
}

}  // namespace

TEST_CASE("random designs with a generator beside the grid agree") {
    double generator_h = 0;
    for_each_drawn(1, 8, [&](Draw& draw, Drawn& d) {
        d.system.rules.grid_first = draw.coin();
        test::random_second_backup(draw, d.system);
        generator_h += compare(d.system, d.inputs, 0, drawn_days).generator_run_h;
    });
    CHECK(generator_h > 100);
}

TEST_CASE("random designs whose battery works for the bill agree") {
    double transfers = 0;
    for_each_drawn(101, 108, [&](Draw& draw, Drawn& d) {
        test::random_tariff(draw, d.system);
        transfers += compare(d.system, d.inputs, 0, drawn_days).transfers;
    });
    CHECK(transfers > 8 * drawn_days);
}

TEST_CASE("random designs bypassed by hand, or at listed hours, agree") {
    double transfers = 0, unserved_kwh = 0;
    for_each_drawn(201, 208, [&](Draw& draw, Drawn& d) {
        test::random_bypass(draw, d.system, 24 * drawn_days);
        auto const s = compare(d.system, d.inputs, 0, drawn_days);
        transfers += s.transfers;
        unserved_kwh += s.load_unserved_kwh;
    });
    CHECK(transfers > 50);
    CHECK(unserved_kwh > 10);
}

TEST_CASE("random designs whose inverter trips when it takes over agree") {
    double trips = 0;
    for_each_drawn(301, 308, [&](Draw& draw, Drawn& d) {
        d.system.rules.grid_first = draw(0, 1) < 0.8;
        if (draw.coin()) test::random_second_backup(draw, d.system);
        test::random_small_inverter(draw, d.system, d.inputs);
        test::random_overload_trip(draw, d.system);
        compare(d.system, d.inputs, 0, drawn_days);
        trips += sim::simulate(d.system, d.inputs, {0, 24 * drawn_days}).findings.inverter_trips;
    });
    CHECK(trips > 20);
}

TEST_CASE("random designs with uneven phases agree") {
    double unserved_kwh = 0;
    for_each_drawn(401, 408, [&](Draw& draw, Drawn& d) {
        auto const phases = test::random_phases(draw, d.system, d.inputs);
        unserved_kwh += compare(d.system, d.inputs, 0, drawn_days, &phases).load_unserved_kwh;
    });
    CHECK(unserved_kwh > 10);
}

// The heater's demand, how cold its place gets in outages, and the loads beside it. The year loop knows what
// the heater got in an hour, not when: if all of it came in one half of the hour, the place is off by
// r P / (8 tau^2), with a rise r P of 40 K and tau = 5 h by 0.2 K.
TEST_CASE("random designs with a heated place agree") {
    int froze = 0;
    for_each_drawn(601, 612, [&](Draw& draw, Drawn& d) {
        d.system.rules.grid_first = draw.coin();
        test::random_air(draw, d.inputs, -15, 0, 24 * drawn_days);
        auto const heater = test::random_heater(draw);
        auto const b =
            test::brute_force(d.system, d.inputs, 0, 24 * drawn_days, 1, nullptr, 3600, nullptr, &heater);
        test::add_heater(heater, 0, 0, d.inputs);
        auto const r = sim::simulate(d.system, d.inputs, {0, 24 * drawn_days});
        CHECK(r.summary.ac_served_kwh == Near{b.ac_served_kwh, 0, 0.001});
        CHECK(r.summary.battery_out_kwh == Near{b.battery_out_kwh, 0, 0.01});
        CHECK(r.summary.grid_kwh == Near{b.grid_kwh, 0.01, 0.02});
        CHECK(r.summary.transfers == Near{b.transfers, 0.5, 0.01});
        CHECK(r.findings.freezing_h == Near{b.freezing_h, 1, 0.03});
        if (r.frozen.empty()) return;
        ++froze;
        CHECK(r.frozen.front().coldest_c == Near{b.coldest_place_c, 0.2, 0});
    });
    CHECK(froze >= 4);
}

TEST_CASE("random designs with these rules together agree") {
    for_each_drawn(501, 512, [&](Draw& draw, Drawn& d) {
        auto const phases = test::random_sources(draw, d.system, d.inputs, 24 * drawn_days);
        compare(d.system, d.inputs, 0, drawn_days, phases.empty() ? nullptr : &phases);
    });
}

TEST_SUITE_END();
