#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <tuple>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

TEST_SUITE_BEGIN("sim/pump_gate_run");

// An owner lets the pump run for three hours at noon (an off-grid forum, the figure from memory): it runs
// then and at no other time, and water that the tank cannot bridge is short for that reason.
TEST_CASE("the well pump runs in its hours only; what the tank does not bridge is unmet for that reason") {
    auto s = plain_system();
    s.start_soc = 1;
    s.pump_gate = models::PumpGate{.from_h = 10.5, .until_h = 13.5};
    auto const in = steady_inputs(3000, 0, 0.02, 2e-4);
    auto const result = sim::simulate(s, in, {0, 240});
    double pumped_h = 0, unmet_h = 0;
    for (std::size_t h = 0; h < 240; ++h) {
        auto const& r = result.hours[h];
        double const open_h = h % 24 == 10 || h % 24 == 13 ? 0.5 : h % 24 == 11 || h % 24 == 12 ? 1 : 0;
        CHECK(r.pump_run_h <= open_h + 1e-12);
        pumped_h += r.pump_run_h;
        if (r.water_short_m3 < 1e-9) continue;
        ++unmet_h;
        CHECK(r.limit_reason == static_cast<double>(sim::LimitReason::pump_gate));
    }
    CHECK(pumped_h > 0.3);
    CHECK(unmet_h > 100);
}

// By hand: 1000 W of array from 08:00 to 10:00 and 2500 W from 10:00 to 14:00, less 600 W of loads. At 1500 W
// of surplus the pump may run in the four hours of 1900 W, and at 300 W in all six.
TEST_CASE("the surplus of the array over the small loads lets the pump run") {
    auto s = plain_system();
    s.start_soc = 0.9;
    auto in = steady_inputs(0, 600, 0.02, 2e-4);
    for (std::size_t h = 0; h < in.array_power_w.size(); ++h)
        in.array_power_w[h] = h % 24 >= 10 && h % 24 < 14 ? 2500 : h % 24 >= 8 && h % 24 < 10 ? 1000 : 0;
    for (auto const& [surplus_w, from, until] : {std::tuple{1500.0, 10U, 14U}, {300.0, 8U, 14U}}) {
        CAPTURE(surplus_w);
        s.pump_gate = models::PumpGate{.surplus_above_w = surplus_w};
        auto const r = sim::simulate(s, in, {0, 240});
        double inside_h = 0;
        for (std::size_t h = 0; h < 240; ++h) {
            bool const open = h % 24 >= from && h % 24 < until;
            if (!open) CHECK(r.hours[h].pump_run_h == 0);
            inside_h += r.hours[h].pump_run_h;
        }
        CHECK(inside_h > 0.4);
    }
}

// A cistern of 3 m3 that may be filled from 11:00 to 13:00, and a trough whose second valve opens then.
TEST_CASE("cistern and trough are filled at midday, and not by their floats alone") {
    auto s = plain_system();
    s.battery.capacity_kwh = 1e3;
    s.start_soc = 0.9;
    s.cistern.emplace();
    auto& c = s.cistern->cistern;
    c.capacity_m3 = 3, c.fill_start_m3 = 0.5, c.fill_stop_m3 = 2.8;
    s.cistern->rule = models::FillRule::surplus_or_low;
    s.cistern->fill_hours = {11, 13};
    s.cistern->fill_band_m3 = 0.1;
    s.cistern->start_m3 = 2.8, s.cistern->resume_m3 = 0.1;
    s.cistern->gravity = true;
    s.cistern->filling = {{0.5e-3, 800}};
    s.trough = models::TroughParameters{.full_m3 = 1, .open_m3 = 0.2, .float_flow_m3_s = 0.3e-3};
    s.trough->fill_hours = {11, 13};
    s.trough->fill_band_m3 = 0.05;
    auto in = steady_inputs(0, 0, 0.01, 1e-3);
    in.trough_m3.assign(8760, 0.01);
    auto const midday = sim::simulate(s, in, {0, 24 * 20});
    CHECK(midday.summary.shortage_hours == 0);
    for (std::size_t h = 0; h < midday.hours.size(); ++h)
        if (h % 24 < 11 || h % 24 >= 13) CHECK(midday.hours[h].pump_run_h == 0);
    // Each day 0.24 m3 out of the trough; the valve fills it up again at 11:00.
    for (std::size_t day = 1; day < 20; ++day) {
        CHECK(midday.hours[24 * day + 10].trough_water_m3 < 0.8);
        CHECK(midday.hours[24 * day + 12].trough_water_m3 > 0.9);
    }
    // By the float alone it falls to 0.2 m3 first, at any hour.
    s.trough->fill_hours = {};
    auto const floats = sim::simulate(s, in, {0, 24 * 20});
    double lowest_m3 = 1;
    for (auto const& r : floats.hours) lowest_m3 = std::min(lowest_m3, r.trough_water_m3);
    CHECK(lowest_m3 < 0.25);
    // A battery above 50 % opens the second valve too.
    s.trough->fill_battery_above = 0.5;
    auto const full = sim::simulate(s, in, {0, 48});
    for (auto const& r : full.hours) CHECK(r.trough_water_m3 > 0.9);
}

TEST_CASE("with a cistern behind it the pump keeps its hours and nothing is missed") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/alder-flat-cistern.toml");
    auto const inputs = sim::make_inputs(scenario, scenarios::read_scenario_weather(scenario));
    auto s = sim::make_system(scenario);
    s.pump_gate = models::PumpGate{.from_h = 9, .until_h = 15};
    auto const result = sim::simulate(s, inputs, sim::Clock{});
    CHECK(result.summary.shortage_hours == 0);
    CHECK(result.findings.fill_pump_run_h > 50);
    double outside_h = 0;
    for (std::size_t h = 0; h < 8760; ++h)
        if (h % 24 < 9 || h % 24 >= 15) outside_h += result.hours[h].fill_pump_run_h;
    CHECK(outside_h < 1e-9);
}

// 1200 W through 0.9 and 0.9 out of 10 kWh: from full to 0.5 in 5 x 0.81 / 1.2 h. Then the pump is off until
// 500 W of sun, at 0.9 into the battery, have charged it to 0.6 again. By hand, recomputed.
TEST_CASE("the level of the battery stops the pump and lets it run again a band higher, to the second") {
    auto s = plain_system();
    s.start_soc = 1;
    s.pump_gate = models::PumpGate{.battery_above = 0.6, .battery_band = 0.1};
    // The taps take all that the pump gives; no sun at first.
    auto in = steady_inputs(0, 0, 0.6e-3 * 3600, 0.6e-3);
    for (std::size_t h = 5; h < 40; ++h) in.array_power_w[h] = 500;
    auto const result = sim::simulate(s, in, {0, 8});
    double const stops_h = 5 * 0.81 / 1.2, rises_h = 1 / (0.5 * 0.9);
    double const tank_h = models::stored_water_m3(s.tank, 400) / (0.6e-3 * 3600);
    double run_h = 0;
    for (auto const& r : result.hours) run_h += r.pump_run_h;
    // It starts when the tank has fallen to cut-in.
    double const first_h = 0.080 / (0.6e-3 * 3600);
    CHECK(result.hours[4].battery_soc == Near{0.5, 1e-12, 0});
    CHECK(tank_h > first_h);
    double const again_h = 5 + rises_h;
    // From 0.6 down to 0.5 again: 1.2/0.9 kW less 0.5 of sun, out of the battery at 0.9.
    double const second_h = std::min(1 * 0.9 / (1.2 / 0.9 - 0.5), 8 - again_h);
    CHECK(run_h == Near{stops_h + second_h, 1e-9, 0});
    CHECK(result.hours[6].battery_soc == Near{0.5 + 2 * 0.045, 1e-12, 0});
}

// The gate that saves the battery stops the water in the very week that matters.
TEST_CASE("a gate by level in a week without sun: water is missed with charge left in the battery") {
    auto s = plain_system();
    s.start_soc = 1;
    auto const in = steady_inputs(0, 50, 0.02, 2e-4);
    auto const free = sim::simulate(s, in, {0, 100});
    s.pump_gate = models::PumpGate{.battery_above = 0.5};
    auto const gated = sim::simulate(s, in, {0, 100});
    CHECK(free.summary.shortage_hours == 0);
    CHECK(gated.summary.shortage_hours > 10);
    CHECK(gated.hours.back().battery_soc > 0.2);
    CHECK(gated.hours.back().limit_reason == static_cast<double>(sim::LimitReason::pump_gate));
}

TEST_CASE("on the backup the pump may run at any time") {
    auto s = plain_system();
    s.rules.backup = sim::Backup::grid;
    s.rules.grid_first = true;
    s.rules.backup_limit_w = 1e5;
    s.outages = {{48, 96}};
    s.pump_gate = models::PumpGate{.from_h = 11, .until_h = 12};
    auto const result = sim::simulate(s, steady_inputs(0, 0, 0.02, 2e-4), {0, 144});
    for (std::size_t h = 0; h < 144; ++h) {
        CAPTURE(h);
        bool const dry = result.hours[h].water_short_m3 > 1e-9;
        if (h < 48 || h >= 98) CHECK(!dry);
        if (h > 52 && h < 96 && h % 24 != 11) CHECK(result.hours[h].pump_run_h < 1e-12);
    }
    CHECK(result.summary.shortage_hours > 20);
}

TEST_CASE("balances close with any gate, and the step's length changes nothing") {
    constexpr int hours = 24 * 20;
    double held_h = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        test::Draw draw(seed + 900);
        auto s = test::random_system(draw);
        auto const in = test::random_inputs(draw, hours);
        models::PumpGate gate;
        bool const by_hours = draw.coin();
        if (by_hours) gate.from_h = draw(0, 24), gate.until_h = draw(0, 24);
        if (!by_hours || draw.coin()) {
            gate.battery_above = draw(0.2, 1);
            gate.battery_band = gate.battery_above * draw(0.02, 0.5);
        }
        s.pump_gate = gate;
        auto const whole = sim::simulate(s, in, {0, hours});
        CHECK(whole.summary.energy_residual_kwh == Near{0, 1e-8, 0});
        CHECK(whole.summary.water_residual_m3 == Near{0, 1e-9, 0});
        for (auto const& r : whole.hours)
            held_h += r.limit_reason == static_cast<double>(sim::LimitReason::pump_gate) ? 1 : 0;
        for (double const step_s : {900., 60.}) {
            auto const cut = sim::simulate(s, in, {0, hours, step_s}).summary;
            CHECK(cut.water_delivered_m3 == Near{whole.summary.water_delivered_m3, 1e-6, 0.005});
            CHECK(cut.pump_energy_kwh == Near{whole.summary.pump_energy_kwh, 1e-6, 0.005});
            CHECK(cut.battery_out_kwh == Near{whole.summary.battery_out_kwh, 1e-6, 0.005});
        }
    }
    CHECK(held_h > 1000);
}

TEST_SUITE_END();
