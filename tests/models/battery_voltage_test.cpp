#include "models/battery/battery_voltage.hpp"

#include <doctest/doctest.h>

#include <string>

#include "models/battery/battery_bank.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

BatteryVoltageParameters lead_48v_400ah() {
    return {in_series(flooded_lead_open_circuit_12v(), 4), battery_resistance_ohm(0.012, 48, 400)};
}

BatteryVoltageParameters lithium_48v_200ah() {
    return {in_series(lithium_iron_phosphate_open_circuit_12v(), 4), battery_resistance_ohm(0.006, 48, 200)};
}

}  // namespace

TEST_SUITE_BEGIN("models/battery_voltage");

// Ohm's law, rows recomputed; open-circuit voltages and block resistances behind them from memory. Both
// batteries have 0.012 ohm. Printed to 1e-5, hence the tolerance.
TEST_CASE("terminal voltage and current at a power") {
    struct Row {
        std::string battery;
        bool lead;
        double soc, power_w, open_v, volts, amps;
    };
    for (auto const& row : std::vector<Row>{
             {"lithium iron phosphate 200 Ah", false, 0.5, 5000, 52.20, 51.02408, 97.99294},
             {"lead-acid 400 Ah", true, 0.5, 5000, 48.40, 47.12684, 106.09665},
             {"lead-acid 400 Ah", true, 0.4, 5000, 47.84, 46.55109, 107.40886},
             {"lead-acid 400 Ah", true, 0.3, 5000, 47.24, 45.93377, 108.85237},
             {"lead-acid 400 Ah, pump start", true, 0.5, 15000, 48.40, 44.34051, 338.29112},
             {"lead-acid 400 Ah, charging", true, 0.5, -3000, 48.40, 49.13271, -61.05912},
         }) {
        CAPTURE(row.battery);
        CAPTURE(row.soc);
        auto const p = row.lead ? lead_48v_400ah() : lithium_48v_200ah();
        CHECK(p.resistance_ohm == Near{0.012, 0, 1e-12});
        CHECK(open_circuit_v(p, row.soc) == Near{row.open_v, 1e-9, 0});
        auto const t = terminal(p, row.soc, row.power_w);
        CHECK(t.volts == Near{row.volts, 1e-5, 0});
        CHECK(t.amps == Near{row.amps, 1e-5, 0});
        CHECK(!t.collapsed);
        CHECK(t.volts * t.amps == Near{row.power_w, 0, 1e-12});
    }
}

// Same battery: a 46.0 V set point under 5 kW is not reached at half charge less a tenth, reached at 0.3; a
// pump start of 15 kW dips below it with the battery half full, which is why set points need a delay.
TEST_CASE("a low-voltage set point under load is a state of charge") {
    auto const p = lead_48v_400ah();
    double const soc = soc_at_terminal_voltage(p, 46, 5000);
    CHECK(soc > 0.3);
    CHECK(soc < 0.4);
    CHECK(terminal(p, soc, 5000).volts == Near{46, 1e-9, 0});
    CHECK(soc_at_terminal_voltage(p, 46, 15000) > 0.5);
    CHECK(soc_at_terminal_voltage(p, 30, 100) == 0);
    CHECK(soc_at_terminal_voltage(p, 60, 100) == 1);
}

TEST_CASE("more power than the battery can give is a collapse, not a number that is none") {
    double const most_w = 48.4 * 48.4 / (4 * 0.012);
    CHECK(!terminal_at_power(48.4, 0.012, most_w * 0.999999).collapsed);
    CHECK(terminal_at_power(48.4, 0.012, most_w * 0.999999).volts == Near{24.2, 0, 2e-3});
    auto const t = terminal_at_power(48.4, 0.012, most_w * 1.000001);
    CHECK(t.collapsed);
    CHECK(t.volts == 0);
}

// Cold lead-acid story: 20 mohm warm, 40 mohm at 2 deg C, 5 mohm cable; start 11.04 kVA x 0.7 / 0.88; cutout
// 42 V. Values recomputed for the story and printed to 0.1 V and 1 A.
TEST_CASE("a cold lead-acid battery sags out at half charge") {
    double const power_w = 11040 * 0.7 / 0.88;
    auto const warm = terminal_at_power(48.8, 0.025, power_w), cold = terminal_at_power(48.0, 0.045, power_w);
    CHECK(warm.volts == Near{43.8, 0.05, 0});
    CHECK(warm.amps == Near{201, 0.6, 0});
    CHECK(warm.volts > 42);
    CHECK(cold.volts == Near{37.4, 0.05, 0});
    CHECK(cold.amps == Near{235, 0.6, 0});
    CHECK(cold.volts < 42);
}

// Rule of thumb for flooded blocks, common practice: 12.6, 12.4, 12.2, 12.0, 11.6 V at 100, 75, 50, 25, 0 %.
// It agrees with our table within 0.13 V from half charge up and lies 0.27 and 0.24 V above it below:
// near a transfer set point voltage alone is worth some 15-20 % of charge.
// Rested open-circuit volts at 25 deg C by level, from memory (tables vary by 0.1 V per 12 V): flooded lead
// per 12 V block, lithium iron phosphate of four cells; 48 V batteries are four of either.
TEST_CASE("rested volts by level") {
    BatteryVoltageParameters const lead{flooded_lead_open_circuit_12v(), 0},
        lithium{lithium_iron_phosphate_open_circuit_12v(), 0},
        lead_48{in_series(flooded_lead_open_circuit_12v(), 4), 0},
        lithium_48{in_series(lithium_iron_phosphate_open_circuit_12v(), 4), 0};
    struct Row {
        double soc, lead, lead_48, lithium, lithium_48;
    };
    for (Row const r : {Row{1.0, 12.73, 50.92, 13.60, 54.40}, Row{0.9, 12.62, 50.48, 13.40, 53.60},
                        Row{0.8, 12.50, 50.00, 13.30, 53.20}, Row{0.7, 12.37, 49.48, 13.20, 52.80},
                        Row{0.6, 12.24, 48.96, 13.10, 52.40}, Row{0.5, 12.10, 48.40, 13.05, 52.20},
                        Row{0.4, 11.96, 47.84, 13.00, 52.00}, Row{0.3, 11.81, 47.24, 12.90, 51.60},
                        Row{0.2, 11.66, 46.64, 12.80, 51.20}, Row{0.1, 11.51, 46.04, 12.00, 48.00},
                        Row{0.0, 11.36, 45.44, 10.00, 40.00}}) {
        CAPTURE(r.soc);
        CHECK(open_circuit_v(lead, r.soc) == Near{r.lead, 1e-9, 0});
        CHECK(open_circuit_v(lead_48, r.soc) == Near{r.lead_48, 1e-9, 0});
        CHECK(open_circuit_v(lithium, r.soc) == Near{r.lithium, 1e-9, 0});
        CHECK(open_circuit_v(lithium_48, r.soc) == Near{r.lithium_48, 1e-9, 0});
    }
}

TEST_CASE("tables rise, invert, and are held at their ends") {
    for (auto const& table : {flooded_lead_open_circuit_12v(), sealed_lead_open_circuit_12v(),
                              lithium_iron_phosphate_open_circuit_12v()}) {
        BatteryVoltageParameters const p{in_series(table, 2), 0.01};
        CHECK_NOTHROW(validate(p));
        for (double soc = 0; soc <= 1; soc += 0.01)
            CHECK(soc_at_open_circuit(p, open_circuit_v(p, soc)) == Near{soc, 1e-9, 0});
        CHECK(open_circuit_v(p, -0.1) == open_circuit_v(p, 0));
        CHECK(open_circuit_v(p, 1.1) == open_circuit_v(p, 1));
    }
    CHECK(cold_resistance_factor(25, 2) == 1);
    CHECK(cold_resistance_factor(0, 2) == 2);
    CHECK(cold_resistance_factor(40, 2) == 1);
}

TEST_CASE("bad tables are refused") {
    CHECK_THROWS_AS(validate(BatteryVoltageParameters{{{0, 48}}, 0.01}), ParameterError);
    CHECK_THROWS_AS(validate(BatteryVoltageParameters{{{0, 48}, {0.9, 52}}, 0.01}), ParameterError);
    CHECK_THROWS_AS(validate(BatteryVoltageParameters{{{0, 48}, {1, 52}}, -0.01}), ParameterError);
    CHECK_THROWS_WITH_AS(validate(BatteryVoltageParameters{{{0, 48}, {0.5, 47}, {1, 52}}, 0.01}),
                         "open_circuit volts = 47 (must rise from row to row: a fuller battery rests higher)",
                         ParameterError);
}

TEST_SUITE_END();
