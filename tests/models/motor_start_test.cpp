#include "models/electric/motor_start.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "models/electric/conductor.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

// Loop resistance of so many feet one way at an ohm/kft.
double loop(double feet, double ohm_per_kft) { return 2 * feet * ohm_per_kft / 1000; }

InverterParameters inverter(double rated_va, double surge_va, double seconds) {
    return {rated_va, 50, 0.02, 0.04, {{surge_va / rated_va, seconds}}};
}

StartSupply stiff() { return {52, 1e-6}; }

}  // namespace

TEST_SUITE_BEGIN("models/motor_start");

// 1 hp three-wire, 41.8 A, 230 V, power factor 0.6, 250 ft of 12 AWG at 1.98 ohm/kft (NEC Ch. 9 Table 8, from
// memory): recomputed, tolerance 1e-5.
TEST_CASE("a start through 250 ft of cable") {
    LockedRotor const motor{230, 41.8, 0.6, 0.5};
    CHECK_NOTHROW(validate(motor));
    auto const s = start_motor(motor, {.source_v = 230, .cable_ohm = loop(250, 1.98)});
    CHECK(s.current_a == Near{37.412837, 0, 1e-5});
    CHECK(s.motor_v == Near{205.860106, 0, 1e-5});
    CHECK(s.motor_share == Near{0.89504, 0, 1e-5});
    CHECK(std::abs(s.power_va) == Near{8604.952, 0, 1e-5});
    CHECK(s.power_va.real() == Near{6006.809, 0, 1e-5});
    CHECK(s.torque_share == Near{0.801104, 0, 1e-5});
    CHECK(start_margin(s.power_va, 0, 12000) == Near{1.3945, 5e-5, 0});
    CHECK(start_margin(s.power_va, 0, 8000) == Near{0.9297, 5e-5, 0});
    StartPath const path{.source_v = 230, .cable_ohm = loop(250, 1.98)};
    CHECK(check_start(motor, path, inverter(6000, 12000, 5), stiff(), 0).verdict == Verdict::pass);
    CHECK(check_start(motor, path, inverter(4000, 8000, 5), stiff(), 0).verdict == Verdict::fail);
}

// 230 V, 40 A, power factor 0.7 (R 4.025, X 4.1063 ohm), 400 ft; without and with a source of 0.4 ohm.
// Recomputed, printed to 1e-3 A and V, 0.01 % and 0.1 %.
TEST_CASE("starts through three sizes of cable") {
    struct Row {
        std::string size;
        double line_ohm, start_a, motor_v, percent, torque_percent, with_source_motor_v, source_terminal_v;
    };
    LockedRotor const motor{230, 40, 0.7, 0.5};
    for (auto const& row : std::vector<Row>{
             {"12", 1.584, 33.087, 190.248, 82.72, 68.4, 181.711, 219.679},
             {"10", 0.992, 35.476, 203.988, 88.69, 78.7, 194.557, 219.367},
             {"8", 0.6224, 37.087, 213.250, 92.72, 86.0, 203.250, 219.214},
         }) {
        CAPTURE(row.size);
        double const line_ohm = loop_ohm({400 * meters_per_foot, ohm_per_m(copper(row.size))});
        CHECK(line_ohm == Near{row.line_ohm, 1e-9, 0});
        auto const s = start_motor(motor, {.source_v = 230, .cable_ohm = line_ohm});
        CHECK(s.current_a == Near{row.start_a, 5e-4, 0});
        CHECK(s.motor_v == Near{row.motor_v, 5e-4, 0});
        CHECK(100 * s.motor_share == Near{row.percent, 5e-3, 0});
        CHECK(100 * s.torque_share == Near{row.torque_percent, 0.05, 0});
        CHECK(s.source_terminal_v == Near{230, 1e-9, 0});
        auto const soft = start_motor(motor, {.source_v = 230, .source_ohm = 0.4, .cable_ohm = line_ohm});
        CHECK(soft.motor_v == Near{row.with_source_motor_v, 5e-4, 0});
        CHECK(soft.source_terminal_v == Near{row.source_terminal_v, 5e-4, 0});
    }
}

// A submersible-motor maker's manual, page on reduced-voltage starters: 5 % running drop cuts start current
// about 20 % and torque about 36 %. 1 hp, 48 A at power factor 0.7, loop 1.488 ohm: recomputed 80.8 % volts,
// 65 % torque.
TEST_CASE("a maker's rule for cable with five percent running drop") {
    LockedRotor const motor{230, 48, 0.7, 0.5};
    auto const s = start_motor(motor, {.source_v = 230, .cable_ohm = 1.488});
    CHECK(s.motor_share == Near{0.808, 5e-4, 0});
    CHECK(s.torque_share == Near{0.65, 5e-3, 0});
    CHECK(s.current_a / 48 == Near{0.80, 0.01, 0});
    CHECK(8 * 1.488 / 230 == Near{0.0518, 5e-5, 0});
}

// Runs but will not start: 1 hp 230 V, 48 A locked rotor (NEC Table 430.251(A), 2008 text), 11.0 kVA, 8.9 kVA
// at 90 % volts; inverter 5 kVA, 10 kVA for 5 s; 0.8 kVA other load.
TEST_CASE("runs but will not start") {
    LockedRotor const motor{230, 48, 0.7, 0.5};
    auto const unit = inverter(5000, 10000, 5);
    std::complex<double> const other(800 * 0.7, 800 * std::sqrt(1 - 0.49));
    CHECK((8.0 * 230 + 800) / unit.rated_power_w == Near{0.53, 5e-3, 0});  // running passes
    auto const full = check_start(motor, {.source_v = 230}, unit, stiff(), other);
    CHECK(std::abs(full.start.power_va) == Near{11040, 1e-6, 0});
    CHECK(full.verdict == Verdict::fail);
    CHECK(full.reason == "inverter surge rating is too small for the start");
    auto const low = check_start(motor, {.source_v = 0.9 * 230}, unit, stiff(), other);
    CHECK(std::abs(low.start.power_va) == Near{8942, 0.5, 0});
    CHECK(low.verdict == Verdict::marginal);
    // Locked rotor only assumed, 25 to 48 A: the ends disagree, so measure it.
    LockedRotor const hopeful{230, 25, 0.7, 0.5};
    auto const best = check_start(hopeful, {.source_v = 230}, unit, stiff(), other).verdict;
    CHECK(best == Verdict::pass);
}

// Each part passes, the chain fails: 1 hp, 48 A, power factor 0.7, 600 ft of 12 AWG taken at 2.0 ohm/kft,
// source sag 0 and 10 %; and 10 AWG at 1.24, with the sag. Recomputed for the story.
TEST_CASE("each part passes, the chain fails") {
    LockedRotor const motor{230, 48, 0.7, 0.5};
    auto const unit = inverter(12000, 24000, 5);
    double const line_12 = loop(600, 2.0), line_10 = loop(600, 1.24);
    CHECK(8 * line_12 / 230 == Near{0.084, 6e-4, 0});  // running drop over 5 %
    CHECK(8 * line_10 / 230 == Near{0.052, 5e-4, 0});  // just over
    auto const check = [&](double line_ohm, double sag, double limit) {
        return check_start(motor, {.source_v = 230, .source_sag = sag, .cable_ohm = line_ohm}, unit, stiff(),
                           0, limit);
    };
    CHECK(check(line_12, 0, 0.65).start.motor_share == Near{0.716, 5e-4, 0});
    CHECK(check(line_12, 0, 0.65).verdict == Verdict::pass);
    CHECK(check(line_12, 0.1, 0.65).start.motor_share == Near{0.644, 5e-4, 0});
    CHECK(check(line_12, 0.1, 0.65).verdict == Verdict::fail);
    CHECK(check(line_12, 0.1, 0.65).reason == "too little voltage reaches the motor");
    CHECK(check(line_12, 0.1, 0.55).verdict == Verdict::pass);
    CHECK(check(line_10, 0.1, 0.65).start.motor_share == Near{0.727, 5e-4, 0});
    CHECK(check(line_10, 0.1, 0.65).verdict == Verdict::pass);
}

// A far well: 2 hp, 650 ft of 8 AWG at 0.778 ohm/kft, 72 A from the code table against a measured spike
// of 7.5 kW.
TEST_CASE("a far well") {
    LockedRotor const motor{230, 72, 0.7, 0.5};
    double const line_ohm = loop(650, 0.778);
    CHECK(12 * line_ohm / 230 == Near{0.053, 5e-4, 0});
    CHECK(start_motor(motor, {.source_v = 230, .cable_ohm = line_ohm}).motor_share == Near{0.805, 5e-4, 0});
    CHECK(start_motor(motor, {.source_v = 230, .source_sag = 0.1, .cable_ohm = line_ohm}).motor_share ==
          Near{0.724, 5e-4, 0});
    CHECK(7500.0 / 240 == Near{31, 0.5, 0});
    CHECK(7500.0 / 240 < 72 / 2.0);
}

// Cold lead-acid: 48 V battery 20 mohm warm, 40 mohm at 2 deg C, cable 5 mohm, start 11.04 kVA at 0.7 and
// 0.88, cutout 42 V. Warm 43.8 V and 201 A, cold 37.4 V and 235 A: the pump trips the inverter at half
// charge.
TEST_CASE("the direct-current side fails a start that the inverter could make") {
    LockedRotor const motor{230, 48, 0.7, 0.5};
    auto unit = inverter(8000, 16000, 5);
    unit.low_voltage_v = 42;
    auto const warm = check_start(motor, {.source_v = 230}, unit, {48.8, 0.025}, 0);
    CHECK(warm.dc.volts == Near{43.8, 0.05, 0});
    CHECK(warm.dc.amps == Near{201, 0.6, 0});
    CHECK(warm.verdict == Verdict::pass);
    auto const cold = check_start(motor, {.source_v = 230}, unit, {48.0, 0.045}, 0);
    CHECK(cold.dc.volts == Near{37.4, 0.05, 0});
    CHECK(cold.dc.amps == Near{235, 0.6, 0});
    CHECK(cold.verdict == Verdict::fail);
    CHECK(cold.reason == "the battery sags below the inverter's low-voltage cutout");
    auto const limited = check_start(motor, {.source_v = 230}, unit, {48.8, 0.025, 150}, 0);
    CHECK(limited.reason == "the battery's current limit is passed");
    auto const hopeless = check_start(motor, {.source_v = 230}, unit, {48.0, 0.2}, 0);
    CHECK(hopeless.reason == "the battery cannot give this power at all");
}

// Trips twice a month: a 115 V jet pump on a 2 kW inverter. Whether it starts depends on the state of charge
// and on the other loads. So some starts fail, mostly at a low state of charge and with many other loads;
// never all and never none.
TEST_CASE("a narrow margin fails now and then, at low charge and high other load") {
    LockedRotor const motor{115, 30, 0.6, 1};
    InverterParameters unit = inverter(2000, 4000, 5);
    unit.low_voltage_v = 22.2;
    BatteryVoltageParameters const battery{in_series(flooded_lead_open_circuit_12v(), 2),
                                           battery_resistance_ohm(0.012, 24, 220) + 0.004};
    std::mt19937_64 engine(9);
    auto const uniform = [&] { return static_cast<double>(engine() >> 11) * 0x1p-53; };
    int failed = 0, n = 3000;
    double failed_soc = 0, failed_w = 0, passed_soc = 0, passed_w = 0;
    for (int i = 0; i < n; ++i) {
        double const soc = 0.4 + 0.6 * uniform(), other_w = 700 * uniform();
        auto const c = check_start(motor, {.source_v = 115, .cable_ohm = 0.2}, unit,
                                   {open_circuit_v(battery, soc), battery.resistance_ohm}, other_w);
        bool const fails = c.verdict == Verdict::fail;
        failed += fails;
        (fails ? failed_soc : passed_soc) += soc;
        (fails ? failed_w : passed_w) += other_w;
    }
    CHECK(failed > n / 100);
    CHECK(failed < n / 2);
    CHECK(failed_soc / failed < passed_soc / (n - failed) - 0.05);
    CHECK(failed_w / failed > passed_w / (n - failed) + 50);
}

// The right size does not start: 4 kW generator, 3/4 hp; a pump maker's table asks for 3.0 kW, yet the start
// was tried and failed.
TEST_CASE("a start tried on site beats the table") {
    auto const by_table = verdict_of_margin(4.0 / 3.0);
    CHECK(by_table == Verdict::pass);
    CHECK(with_measurement(by_table, MeasuredStart::failed) == Verdict::fail);
    CHECK(with_measurement(Verdict::unknown, MeasuredStart::succeeded) == Verdict::pass);
    CHECK(with_measurement(by_table, MeasuredStart::none) == Verdict::pass);
}

TEST_CASE("other load adds as a vector, at most as its magnitude") {
    std::complex<double> const start(6000, 8000), along(600, 800), across(800, -600);
    CHECK(start_margin(start, 0, 12000) == Near{1.2, 0, 1e-12});
    CHECK(start_margin(start, along, 12000) == Near{1.1, 0, 1e-12});
    CHECK(start_margin(start, across, 12000) > 1.1);
    for (double angle = 0; angle < 6.3; angle += 0.1) {
        auto const other = std::polar(2000.0, angle);
        double const m = start_margin(start, other, 12000);
        CHECK(std::abs(m * start + other) == Near{12000, 0, 1e-12});
        CHECK(m >= (12000 - 2000) / 10000.0 - 1e-12);
    }
    CHECK(start_margin(start, 13000, 12000) == 0);
}

TEST_CASE("laws: more cable less current and less torque, power is what the elements take") {
    LockedRotor const motor{230, 48, 0.7, 0.5};
    double current_a = 1e9, share = 2;
    for (double ohm = 0; ohm < 5; ohm += 0.5) {
        auto const s =
            start_motor(motor, {.source_v = 230, .source_ohm = {0.1, 0.2}, .cable_ohm = {ohm, 0.05}});
        CHECK(s.current_a < current_a);
        CHECK(s.motor_share < share);
        CHECK(std::abs(s.power_va) == Near{s.source_terminal_v * s.current_a, 0, 1e-12});
        current_a = s.current_a;
        share = s.motor_share;
    }
    CHECK(start_motor(motor, {.source_v = 230}).motor_share == Near{1, 0, 1e-12});
    CHECK_THROWS_AS(validate(LockedRotor{230, 0, 0.7, 0.5}), ParameterError);
    CHECK_NOTHROW(validate(StartPath{.source_v = 230, .source_sag = 0.1}));
    CHECK_THROWS_AS(validate(StartPath{.source_v = 230, .source_sag = 1}), ParameterError);
    CHECK_THROWS_AS(validate(StartPath{.source_v = 230, .cable_ohm = -1}), ParameterError);
    CHECK_THROWS_WITH_AS(validate(LockedRotor{230, 48, 1.7, 0.5}),
                         "locked-rotor power_factor = 1.7 (must be above 0 and at most 1)", ParameterError);
}

TEST_SUITE_END();
