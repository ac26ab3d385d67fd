#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

TEST_SUITE_BEGIN("sim/constant_day");

// Calculation by hand with constant sun and constant demand. Tank: 80 L between cut-in and cut-out. Pump: 0.6
// L/s, 1200 W. Taps: 0.2 L/s without a pause. Starting at cut-out:
//   rest 80/0.2 = 400 s, run 80/(0.6-0.2) = 200 s, cycle 600 s: 6 starts an hour, 144 a day, 8 h of running.
//   Water: 0.2 x 86400 = 17280 L of demand, delivered and pumped.
// Array: 500 W. Inverter 0.9: a run takes 1200/0.9 W of DC.
//   Run:  the battery gives 1200/0.9 - 500 = 833.333 W for 8 h = 6.666667 kWh,
//         for which 6.666667/0.9 = 7.407407 kWh leave the store.
//   Rest: the battery takes 500 W for 16 h = 8 kWh and stores 0.9 x 8 = 7.2 kWh.
//   Stored at midnight: 5 - 7.407407 + 7.2 = 4.792593 kWh.
TEST_CASE("a day of steady cycling equals pencil arithmetic") {
    auto const result = sim::simulate(plain_system(), steady_inputs(500, 0, 0.72, 0.2e-3), {0, 24});
    auto const& s = result.summary;
    CHECK(s.pump_starts == 144);
    CHECK(s.max_starts_per_day == 144);
    CHECK(s.pump_run_h == Near{8, 1e-9, 0});
    CHECK(s.shortest_run_s == Near{200, 1e-9, 0});
    CHECK(s.water_demand_m3 == Near{17.28, 1e-9, 0});
    CHECK(s.water_delivered_m3 == Near{17.28, 1e-9, 0});
    CHECK(s.water_short_m3 == Near{0, 1e-9, 0});
    CHECK(s.pump_energy_kwh == Near{9.6, 1e-9, 0});
    CHECK(s.inverter_loss_kwh == Near{9.6 / 0.9 - 9.6, 1e-9, 0});
    CHECK(s.pv_used_kwh == Near{12, 1e-9, 0});
    CHECK(s.pv_curtailed_kwh == Near{0, 1e-9, 0});
    CHECK(s.battery_out_kwh == Near{20. / 3, 1e-9, 0});
    CHECK(s.battery_in_kwh == Near{8, 1e-9, 0});
    CHECK(result.hours.back().battery_stored_kwh == Near{5 - 20. / 3 / 0.9 + 0.9 * 8, 1e-9, 0});
    CHECK(s.soc_min ==
          Near{result.hours.back().battery_soc, 0.02, 0});  // falls hour by hour, least within the last
    CHECK(s.energy_residual_kwh == Near{0, 1e-9, 0});
    CHECK(s.water_residual_m3 == Near{0, 1e-9, 0});
}

// The array's 500 W does not carry a 1200 W pump that runs a third of the time, though 1200/3/0.9 = 444 W <
// 500 W: with an empty battery the pump cannot run while the sun shines on.
TEST_CASE("power is not smeared over the hour") {
    auto s = plain_system();
    s.battery.discharge_limit_kw = 0;
    auto const result = sim::simulate(s, steady_inputs(500, 0, 0.72, 0.2e-3), {0, 24});
    CHECK(result.summary.pump_starts == 0);
    CHECK(result.summary.demand_met_fraction < 0.01);
    CHECK(result.hours.back().limit_reason == static_cast<double>(sim::LimitReason::battery_limit));
}

// Taps open at 0.4 L/s for half of each hour (0.72 m3/h in 1800 s), then shut. From cut-out:
//   rest 200 s (80 L at 0.4), run 80/(0.6-0.4) = 400 s, cycle 600 s: in 1800 s exactly three cycles, the last
//   ending at 1800 s; the second half hour is still. Three starts an hour: V (1 - f/Q)/D = 720 (1 - 2/3)/80
//   = 3.
TEST_CASE("an hour's water is drawn at the tap flow, then the taps are shut") {
    auto const result = sim::simulate(plain_system(), steady_inputs(500, 0, 0.72, 0.4e-3), {0, 24});
    CHECK(result.summary.pump_starts == 72);
    CHECK(result.summary.pump_run_h == Near{8, 1e-9, 0});
    CHECK(result.summary.water_delivered_m3 == Near{17.28, 1e-9, 0});
}

// Constant-weather sizing example, recomputed from its own statement: 200 W AC around the clock, inverter
// 0.90, battery 0.95 each way; sun 08:00-16:00 at 500 W/m2 flat, PV factor 0.80, controller 0.97. Method:
// stand-alone sizing by daily balance (the steps of IEEE 1562 and 1013, from memory). Array 1.841962 kW,
// battery 21.052632 kWh for three days at 80 % depth. Tolerance of the printed digits, 1e-6.
struct SizingExample {
    double array_w = 1000 * 5.717452 / (4 * 0.80 * 0.97);
    sim::System system = plain_system();
    sim::HourlyInputs inputs = steady_inputs(0, 200, 0, 1e-3);

    explicit SizingExample(double array_factor) {
        // The exact array: direct 8 h, the rest through the battery.
        double const dc_kw = 0.2 / 0.9, need_kwh = dc_kw * 8 + dc_kw * 16 / (0.95 * 0.95);
        array_w = array_factor * 1000 * need_kwh / (4 * 0.80 * 0.97);
        double const infinity = std::numeric_limits<double>::infinity();
        system.battery = {3 * dc_kw * 24 / 0.95 / 0.8, 0.95, 0.95, 0.2, infinity, infinity, 0};
        system.controller_efficiency = 0.97;
        system.rules.restart_above = 0.3;
        for (std::size_t h = 0; h < inputs.array_power_w.size(); ++h)
            if (h % 24 >= 8 && h % 24 < 16) inputs.array_power_w[h] = array_w * 0.5 * 0.80;
    }
};

TEST_CASE("the constant-weather sizing example: the day repeats") {
    SizingExample e(1);
    CHECK(e.array_w == Near{1841.962, 1e-3, 0});
    CHECK(e.system.battery.capacity_kwh == Near{21.052632, 1e-6, 0});
    e.system.start_soc = 0.6;
    auto const result = sim::simulate(e.system, e.inputs, {0, 72});
    for (std::size_t day = 0; day < 3; ++day) {
        CHECK(result.hours[day * 24 + 7].battery_soc == Near{0.511111, 1e-6, 0});
        CHECK(result.hours[day * 24 + 15].battery_soc == Near{0.688889, 1e-6, 0});
        CHECK(result.hours[day * 24 + 23].battery_soc == Near{0.6, 1e-6, 0});
    }
}

TEST_CASE("the constant-weather sizing example: three days without sun, no more") {
    SizingExample e(0);
    e.system.start_soc = 1;
    auto const result = sim::simulate(e.system, e.inputs, {0, 96});
    for (std::size_t h = 0; h < 72; ++h) CHECK(result.hours[h].load_unserved_kw == Near{0, 1e-9, 0});
    CHECK(result.hours[72].load_unserved_kw == Near{0.2, 1e-9, 0});
    CHECK(result.hours[95].load_unserved_kw == Near{0.2, 1e-9, 0});
}

TEST_CASE("the constant-weather sizing example: an array one per cent off drifts") {
    for (auto const& [factor, drift] : {std::pair{0.99, -0.002580}, std::pair{1.01, 0.002580}}) {
        SizingExample e(factor);
        e.system.start_soc = 0.6;
        auto const result = sim::simulate(e.system, e.inputs, {0, 24});
        CHECK(result.hours[23].battery_soc - 0.6 == Near{drift, 1e-6, 0});
    }
}

TEST_SUITE_END();
