#include "sim/designs/battery_needed.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/sim/plain_system.hpp"
#include "tests/support/check_scenario.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

TEST_SUITE_BEGIN("sim/battery_needed");

// By hand: one outage of 48 h, in which the loads use 0.1 kW and the taps 10 L/h. A battery that cycles down
// to 20 % before its transfer to the grid may be found with as little as that; one that is warned is full.
// Without a warning 0.2 C must last, with one all of C: five times less battery.
TEST_CASE("a warning is worth four fifths of a battery that is found at its lowest") {
    auto s = plain_system();
    s.battery = {40, 1, 1, 0, 1e3, 1e3, 0};
    s.start_soc = 0.2;
    s.inverter.k1 = 0;
    s.rules.backup = sim::Backup::grid;
    s.rules.transfer_below = 0.2;
    s.rules.return_above = 0.9;
    s.rules.backup_limit_w = 1e5;
    s.outages = {{2000, 2048}};
    auto const in = steady_inputs(0, 100, 0.1, 3e-4);
    sim::CheckedInputs const hourly(in);
    double const surprised = sim::battery_needed_kwh(s, hourly);
    s.rules.forewarned_h = 48;
    double const warned = sim::battery_needed_kwh(s, hourly);
    // 4.8 kWh of loads and the pump's 4.8 m3 at 1.2 kW and 0.6 L/s, 2.67 kWh.
    CHECK(warned == Near{4.8 + 4.8 / 2.16 * 1.2, 0, 0.05});
    CHECK(surprised == Near{5 * warned, 0, 0.05});
    s.battery.capacity_kwh = 0;
    CHECK(std::isinf(sim::battery_needed_kwh(s, hourly)));
}

TEST_CASE("which designs show it") {
    test::CheckScenario s;
    CHECK(!sim::spares_battery(s.read()));
    s.set("gate", "[pump_gate]\nsurplus_above = \"1 kW\"");
    CHECK(sim::spares_battery(s.read()));
    s.set("gate", "");
    s.set("backup",
          "[backup]\nkind = \"grid\"\ntransfer_below = 0.4\nreturn_above = 0.8\nforewarned = \"24 h\"");
    s.set("charger", "[charger]\npower_limit = \"2 kW\"");
    CHECK(sim::spares_battery(s.read()));
}

TEST_SUITE_END();
