#include "sim/designs/starter_sizing.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "models/electric/conductor.hpp"
#include "models/numeric/trade_units.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using models::MotorWiring;
using test::Near;

namespace {

constexpr double ft = models::m_per_ft, psi = models::kpa_per_psi, gal = models::m3_per_gal;

// 1 hp, 3-wire, static water level at 120 ft, 15 ft up to the tank, 40/60 psi, three persons, generator as
// backup.
StarterSite house() {
    StarterSite s;
    s.motor = models::typical_submersible_motor(1, MotorWiring::three_wire);
    s.static_level_m = 120 * ft;
    s.lift_to_tank_m = 15 * ft;
    s.cut_in_kpa = 40 * psi, s.cut_out_kpa = 60 * psi, s.precharge_kpa = 38 * psi;
    s.daily_m3 = 225 * gal;
    s.small_loads_w = 72.5;
    s.latitude_deg = 44;
    s.backup = scenarios::Backup::generator;
    return s;
}

StarterSizes sizes_of(StarterSite const& s) { return size_starter(s, choose_starter_pump(s).value()); }

}  // namespace

TEST_SUITE_BEGIN("sim/starter_sizing");

// 60 psi = 413.685 kPa / 9.80665 = 42.184 m = 138.40 ft; 1.18 x (120 + 15 + 138.40) = 322.6 ft. The 20 gpm
// stage needs 322.6 / 29 = 11.1, 12 of them 12 x 0.1848 = 2.2 hp of 1.4: no. The 10 gpm stage needs 322.6 /
// 27 = 11.95, so 12; the motor turns 1.4 / 0.0896 = 15.6, so 15; 0.7 x 15 = 10.5 is no more.
TEST_CASE("the pump of the largest flow that the motor turns") {
    auto const pump = choose_starter_pump(house()).value();
    CHECK(pump.stage->rated_gpm == 10);
    CHECK(pump.stages == 12);
    // From the surface 1.18 x 153.40 = 181.0 ft: 20 gpm needs 7 of 29 ft, the motor turns 1.4 / 0.1848 = 7.6.
    auto shallow = house();
    shallow.static_level_m = 0;
    CHECK(choose_starter_pump(shallow)->stage->rated_gpm == 20);
    CHECK(choose_starter_pump(shallow)->stages == 7);
    // Little pressure, no depth: 0.7 of what the motor turns, not the three that would do.
    shallow.cut_out_kpa = 30 * psi;
    shallow.lift_to_tank_m = 0;
    CHECK(choose_starter_pump(shallow)->stages == 4);
}

// 1.4 / 0.0470 = 29.8, so 29 stages of 5 gpm and 24 ft: 696 ft; / 1.18 = 589.8; less 15 and 138.40: 436.4 ft.
TEST_CASE("how deep a motor lifts from") {
    CHECK(starter_reach_m(house()) / ft == Near{436.4, 0.05, 0});
    auto deep = house();
    deep.static_level_m = 436 * ft;
    CHECK(choose_starter_pump(deep)->stage->rated_gpm == 5);
    deep.static_level_m = 437 * ft;
    CHECK(!choose_starter_pump(deep));
}

// Boyle: of a tank's volume (38 + 14.696) x (1 / 54.696 - 1 / 74.696) = 0.25796 is drawn between 60 and 40
// psi. 1.3 x 10 gpm for a minute is 13 gal: 50.40 gal of tank.
TEST_CASE("the tank lets the motor run its minute") {
    auto const s = house();
    CHECK(starter_tank_m3(s, *choose_starter_pump(s)) / gal == Near{50.40, 0.01, 0});
}

// Input line through 1210 W at 745.7 W and 1600 W at 1044 W of shaft: slope 390 / 298.28 = 1.30750, 235 W at
// none; 12 x 0.0896 hp = 801.77 W of shaft: 1283.3 W. Start 230 V x 41.8 A = 9.614 kVA; half of 1.2 times
// that is 5.768 kVA: 6 kW, 45 W idle. 225 gal at 10 gpm run 0.375 h: 0.48124 kWh; (72.5 + 45) W x 24 h = 2.82
// kWh; together 3.30124. Sun 5.5 - 0.07 x 44 = 2.42 h. Array 1.2 x 3.30124 / (0.7 x 2.42) = 2.3385: 2.4 kW.
// Battery 1.5 x 3.30124 / 0.9 = 5.502: 10.24 kWh. Charger 0.3 x 6 = 1.8 kW; generator 4.0 (table) + 1.8: 6
// kW.
TEST_CASE("sizes of a household with a generator") {
    auto const s = sizes_of(house());
    CHECK(s.pump_w == Near{1283.3, 0.05, 0});
    CHECK(s.start_kva == Near{9.614, 1e-9, 0});
    CHECK(s.inverter_kw == 6);
    CHECK(s.inverter_by == InverterDecider::motor_start);
    CHECK(s.idle_w == 45);
    CHECK(s.daily_kwh == Near{3.30124, 1e-4, 0});
    CHECK(s.sun_h == Near{2.42, 1e-12, 0});
    CHECK(s.array_kw == Near{2.4, 1e-9, 0});
    CHECK(s.battery_days == 1.5);
    CHECK(s.battery_kwh == Near{10.24, 1e-9, 0});
    CHECK(s.battery_by == BatteryDecider::days);
    CHECK(s.charger_kw == Near{1.8, 1e-9, 0});
    CHECK(s.generator_kw == 6);
}

// Alone: 1.7 x 3.30124 / 1.694 = 3.313: 3.6 kW; 3 x 3.30124 / 0.9 = 11.004: 15.36 kWh.
TEST_CASE("without a backup the array and the battery are larger") {
    auto site = house();
    site.backup = scenarios::Backup::none;
    auto const s = sizes_of(site);
    CHECK(s.array_kw == Near{3.6, 1e-9, 0});
    CHECK(s.battery_days == 3);
    CHECK(s.battery_kwh == Near{15.36, 1e-9, 0});
}

// A 2-wire motor of 1 hp: 230 V x 48.7 A = 11.201 kVA, half of 1.2 times that 6.72: 8 kW. Generator 1.5 x 4.0
// + 0.3 x 8 = 8.4: 9 kW. Of 1.5 hp: 230 x 66.2 = 15.226 kVA, 9.14: 12 kW.
TEST_CASE("a 2-wire motor asks for a larger inverter and generator") {
    auto site = house();
    site.motor = models::typical_submersible_motor(1, MotorWiring::two_wire);
    auto const s = sizes_of(site);
    CHECK(s.start_kva == Near{11.201, 1e-9, 0});
    CHECK(s.inverter_kw == 8);
    CHECK(s.generator_kw == 9);
    site.motor = models::typical_submersible_motor(1.5, MotorWiring::two_wire);
    CHECK(sizes_of(site).inverter_kw == 12);
}

// 5 kW are 1.0 kW more than the 4.0 that start the motor; 4.2 kW only 0.2, and half a kilowatt is the
// smallest charger that is used.
TEST_CASE("a generator that is there leaves the charger what the start does not need") {
    auto site = house();
    site.generator_w = 5000;
    CHECK(sizes_of(site).charger_kw == Near{1.0, 1e-9, 0});
    CHECK(sizes_of(site).generator_kw == 5);
    site.generator_w = 4200;
    CHECK(sizes_of(site).charger_kw == Near{0.5, 1e-9, 0});
    site.generator_w = 20000;
    CHECK(sizes_of(site).charger_kw == Near{1.8, 1e-9, 0});
}

// 20 stages x 0.0896 = 1.792 hp of 3 hp x 1.15: a pump that draws some 2.4 kW. With hardly any load the
// battery is two hours of it.
TEST_CASE("a large pump that hardly runs: its power decides the battery") {
    auto site = house();
    site.motor = models::typical_submersible_motor(5, MotorWiring::three_wire);
    site.small_loads_w = 0;
    site.daily_m3 = 0;
    auto const s = sizes_of(site);
    CHECK(s.battery_by == BatteryDecider::pump_power);
    CHECK(s.battery_kwh >= 2e-3 * s.pump_w);
    CHECK(s.battery_kwh - 5.12 < 2e-3 * s.pump_w);
}

TEST_CASE("sun hours stay between 1.5 and 5, the same on both sides of the equator") {
    CHECK(starter_sun_h(0) == 5);
    CHECK(starter_sun_h(65) == 1.5);
    CHECK(starter_sun_h(-44) == starter_sun_h(44));
}

// 1 hp: 9.8 A. 4 % of 230 V are 9.2 V: by AWG 12, 1.98 ohm/kft, 2 x L x 1.98e-3 x 9.8 = 9.2 at 237 ft; AWG 10
// at 378 ft. In mm2: 2 x L x 9.8 x 0.021387 / A = 9.2, so 2.5 mm2 up to 54.9 m, 4 mm2 up to 87.8 m.
TEST_CASE("pump cable: the thinnest within 4 % that carries the motor") {
    auto const motor = models::typical_submersible_motor(1, MotorWiring::three_wire);
    CHECK(starter_cable_awg(motor, 236 * ft) == "12");
    CHECK(starter_cable_awg(motor, 238 * ft) == "10");
    CHECK(starter_cable_awg(motor, 377 * ft) == "10");
    CHECK(starter_cable_awg(motor, 379 * ft) == "8");
    CHECK(starter_cable_awg(motor, 1e5) == "4/0");
    CHECK(starter_cable_mm2(motor, 54.8) == 2.5);
    CHECK(starter_cable_mm2(motor, 55.0) == 4);
    CHECK(starter_cable_mm2(motor, 1) == 2.5);
    CHECK(starter_cable_mm2(motor, 1e5) == 240);
    // 5 hp: 27.5 A, 125 % of it 34.4 A at 5 A/mm2 are 6.9 mm2: 10, however short; AWG by its 40 A: 8.
    auto const five = models::typical_submersible_motor(5, MotorWiring::three_wire);
    CHECK(starter_cable_mm2(five, 1) == 10);
    CHECK(starter_cable_awg(five, 1) == "8");
}

// 1.25 x 6000 W / 0.93 / 44 V = 183.3 A: at 2.5 A/mm2 73.3 mm2, so 95. Breaker 1.6 x 9.8 A = 15.7 A.
TEST_CASE("battery cable and breaker") {
    CHECK(starter_battery_amps(6) == Near{183.3, 0.05, 0});
    CHECK(starter_battery_cable_mm2(6) == 95);
    CHECK(starter_battery_cable_mm2(18) == 240);
    // 4/0: 230 A at 75 deg C. 8 kW draw 244.4 A, 18 kW 549.9 A.
    CHECK(starter_battery_cables_awg(6) == 1);
    CHECK(starter_battery_cables_awg(8) == 2);
    CHECK(starter_battery_cables_awg(18) == 3);
    auto const motor = models::typical_submersible_motor(1, MotorWiring::three_wire);
    CHECK(starter_breaker_a(motor, false) == 20);
    CHECK(starter_breaker_a(motor, true) == 16);
}

TEST_SUITE_END();
