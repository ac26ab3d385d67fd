#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "models/battery/battery_temperature.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::EventKind;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

double first_h(sim::RunResult const& result, EventKind kind) {
    auto const found = std::find_if(result.events.begin(), result.events.end(),
                                    [&](auto const& e) { return e.kind == kind; });
    return found == result.events.end() ? INFINITY : found->time_h;
}

// A winter household, worked on paper: pump 0.75 and others 0.30 kWh a day of AC at 92 %, idle 50 W:
// 1.05 / 0.92 + 1.2 = 2.34 kWh of DC a day. Here as a steady AC load through a lossless inverter.
constexpr double daily_kwh = 2.34;

sim::System winter_battery(double capacity_kwh, double floor, double start_soc) {
    auto s = plain_system();
    s.inverter.k1 = 0;
    s.battery = {capacity_kwh, 0.96, 1, floor, 1e3, 1e3, 0};
    s.start_soc = start_soc;
    s.rules.restart_above = floor + 0.1;
    return s;
}

}  // namespace

// Stories of designs that failed in winter; figures chosen for the test and recomputed as stated.
TEST_SUITE_BEGIN("sim/winter_stories");

// Five days at a fifth of the sun, then plain winter days of 2.5 sun hours at a system factor of 0.77.
// Missing after the run: 5 (2.34 - 0.2 x 2.5 x 0.77 P) = 9.4, 8.2, 7.1 kWh; full again after that over 0.96
// (2.5 x 0.77 P - 2.34) a day: never, 7.6 d, 3.2 d. 10 kWh of usable battery "passes" the five days with all
// three.
TEST_CASE("a battery that passes the cloudy days may never recover") {
    struct Row {
        double pv_kw, missing_kwh, recovery_d;
    };
    for (auto const& [pv_kw, missing_kwh, recovery_d] :
         std::vector<Row>{{1.2, 9.4, INFINITY}, {1.8, 8.2, 7.6}, {2.4, 7.1, 3.2}}) {
        CAPTURE(pv_kw);
        auto const s = winter_battery(12, 2. / 12, 1);
        // The day's sun spread over the day, so that the battery sees the day's balance as the paper does.
        double const sun_w = pv_kw * 2.5 * 0.77 / 24 * 1000;
        auto in = steady_inputs(sun_w, daily_kwh / 24 * 1000, 0, 1e-3);
        std::fill_n(in.array_power_w.edit().begin(), 120, 0.2 * sun_w);
        auto const result = sim::simulate(s, in, {0, 24 * 60});
        CHECK(first_h(result, EventKind::inverter_off) > 120);  // the cloudy days are passed
        CHECK(12 * (1 - result.hours[119].battery_soc) == Near{missing_kwh, 0.05, 0});
        auto const full = std::find_if(result.hours.begin() + 120, result.hours.end(),
                                       [](auto const& r) { return r.battery_soc > 1 - 1e-9; });
        if (std::isinf(recovery_d)) {
            CHECK(full == result.hours.end());
            CHECK(std::isfinite(first_h(result, EventKind::inverter_off)));  // and in the end it is lost
        } else {
            REQUIRE(full != result.hours.end());
            // To the hour in which it is reached.
            CHECK(static_cast<double>(full - result.hours.begin() - 120) / 24 == Near{recovery_d, 0.06, 0});
        }
    }
}

// 10 kWh of lithium cells at 60 %, cutout 10 %, a shed at -10 deg C, six clear days: charge refused all the
// time, the pump lost after 5.0 / 2.34 = 2.1 days. Here the array also carries the loads while it shines,
// from 09 to 15: the battery lasts 5.0 kWh / 97.5 W = 51.28 dark hours, until 21:17 of the third day.
// Discharge is allowed all along. A heater of 100 W costs up to 2.4 kWh a day: only an array for load and
// heater recovers.
TEST_CASE("sunny and frozen: the pump is lost on the third day, a heater helps where the sun pays for it") {
    auto s = winter_battery(10, 0.1, 0.6);
    s.battery_behavior.thermal = models::BatteryThermalParameters{4};
    s.battery_behavior.charge_rule = models::lithium_iron_phosphate_charge_rule();
    auto in = steady_inputs(0, daily_kwh / 24 * 1000, 0, 1e-3);
    in.ambient_c.assign(in.load_w.size(), -10);
    CHECK(first_h(sim::simulate(s, in, {0, 144}), EventKind::inverter_off) / 24 == Near{2.1, 0.05, 0});
    auto const shine = [&](double watts) {
        for (std::size_t h = 0; h < in.array_power_w.size(); ++h)
            in.array_power_w[h] = h % 24 >= 9 && h % 24 < 15 ? watts : 0;
    };
    shine(1000);
    auto const frozen = sim::simulate(s, in, {0, 144});
    CHECK(first_h(frozen, EventKind::inverter_off) == Near{48 + 15 + (5 / 0.0975 - 45), 1e-6, 0});
    CHECK(frozen.summary.battery_in_kwh == 0);
    CHECK(frozen.findings.charge_refused_h == Near{144, 1e-6, 0});

    s.battery_behavior.thermal->heater_w = 100;
    s.battery_behavior.thermal->heater_rise_k_per_w = 0.15;
    auto const paid = sim::simulate(s, in, {0, 144});  // 6 kWh a day
    CHECK(std::isinf(first_h(paid, EventKind::inverter_off)));
    CHECK(paid.hours.back().battery_soc > 0.6);
    shine(600);  // 3.6 kWh a day, less than 2.34 and the heater
    auto const unpaid = sim::simulate(s, in, {0, 144});
    CHECK(unpaid.hours.back().battery_soc < 0.5);
}

// A jet pump on a 2 kW inverter (4 kVA for 5 s), its start swept from 5 % above to 15 % below that; other
// loads change by the hour, and the battery sinks through the month. Worked on paper for 3.7 kVA at power
// factor 0.6: |2.22 + L + 2.96i| <= 4 kVA up to L = 470 W; and at 400 W the cold battery's 0.05 ohm sags
// below 43.3 V from about 46.6 V of open voltage down, at 100 W not.
TEST_CASE(
    "trips twice a month: some starts fail, at high other load or a low battery, and each has its hour") {
    auto const month = [](double start_kva) {
        auto s = plain_system();
        s.battery = {20, 1, 1, 0.05, 1e3, 1e3, 0};
        s.start_soc = 0.95;
        s.battery_behavior.voltage.open_circuit = {{0, 46}, {1, 52}};
        s.battery_behavior.voltage.resistance_ohm = 0.05;
        s.inverter.rated_power_w = 2000;
        s.inverter.surge = {{2, 5}};
        s.inverter.low_voltage_v = 43.3;
        s.pump_start = models::StartDraw{};
        s.pump_start.apparent_kva = start_kva;
        s.pump_start.power_w = 600 * start_kva;
        s.pump_start.seconds = 0.5;
        auto in = steady_inputs(190, 100, 0.03, 0.2e-3);
        for (std::size_t h = 0; h < in.load_w.size(); ++h) {
            if (h % 24 >= 6 && h % 24 < 9) in.load_w[h] = 400;
            if (h % 24 >= 18 && h % 24 < 20) in.load_w[h] = 600;
        }
        return sim::simulate(s, in, {0, 24 * 30});
    };
    auto const result = month(3.7);
    std::vector<int> days;
    for (auto const& e : result.events) {
        if (e.kind != EventKind::start_refused) continue;
        int const hour = static_cast<int>(e.time_h) % 24;
        CAPTURE(e.time_h);
        bool const evening = hour >= 18 && hour < 20, morning = hour >= 6 && hour < 9;
        CHECK((evening || (morning && e.value < 0.2)));
        if (days.empty() || days.back() != static_cast<int>(e.time_h) / 24)
            days.push_back(static_cast<int>(e.time_h) / 24);
    }
    CHECK(days.size() >= 2);
    CHECK(days.size() < 30);
    CHECK(result.summary.pump_starts > 100);
    // The more power the start needs, the longer the taps stay dry; at the surge rating and above, no start
    // succeeds.
    double before_h = 0;
    for (double const margin : {0.15, 0.10, 0.05, 0.0, -0.05}) {
        CAPTURE(margin);
        auto const r = month(4 / (1 + margin));
        CHECK(r.summary.shortage_hours >= before_h);
        before_h = r.summary.shortage_hours;
        CHECK(r.findings.starts_refused > 0);
        CHECK((r.summary.pump_starts == 0) == (margin <= 0));
    }
    CHECK(month(3.0).findings.starts_refused == 0);
}

TEST_SUITE_END();
