#include "models/battery/battery_bank.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/battery_bank");

// Eight 6 V, 400 Ah units in one string: 48 V, 19.2 kWh. The 12 mohm block (from memory) gives the 0.012 ohm
// and the 48.40 V at half charge of the terminal voltage example.
TEST_CASE("a lead-acid string") {
    BatteryBankParameters const battery{Chemistry::flooded_lead_acid, 6, 400, 8, 1};
    CHECK_NOTHROW(validate(battery));
    CHECK_NOTHROW(check_voltage(battery, 48));
    CHECK(battery_kwh(battery) == Near{19.2, 0, 1e-12});
    CHECK(battery_cells(battery) == 24);
    auto const v = voltage_of(battery);
    CHECK(v.resistance_ohm == Near{0.012, 0, 1e-12});
    CHECK(open_circuit_v(v, 0.5) == Near{48.40, 0, 1e-12});
    auto const b = battery_of(battery);
    CHECK_NOTHROW(validate(b));
    CHECK(b.acceptance_per_h == 1);
    CHECK(b.energy.charge_limit_kw == Near{0.2 * 19.2, 0, 1e-12});
}

TEST_CASE("lithium iron phosphate: 16 cells suit a 48 V inverter, limits add in parallel") {
    BatteryBankParameters battery{Chemistry::lithium_iron_phosphate, 51.2, 100, 1, 2};
    battery.unit_discharge_limit_a = 40;
    CHECK_NOTHROW(check_voltage(battery, 48));
    CHECK(battery_cells(battery) == 16);
    CHECK(open_circuit_v(voltage_of(battery), 0.5) == Near{52.2, 0, 1e-12});
    CHECK(voltage_of(battery).resistance_ohm == Near{0.012, 0, 1e-12});
    CHECK(battery_of(battery).energy.discharge_limit_kw == Near{2 * 40 * 51.2 / 1000, 0, 1e-12});
    battery.remaining_capacity = 0.8;
    CHECK(battery_of(battery).energy.capacity_kwh == Near{0.8 * 10.24, 0, 1e-12});
    BatteryBankParameters const four{Chemistry::lithium_iron_phosphate, 12, 100, 4, 1};
    CHECK(battery_cells(four) == 16);
}

TEST_CASE("all defaults are within their usual ranges and pass their own checks") {
    for (auto chemistry :
         {Chemistry::flooded_lead_acid, Chemistry::sealed_lead_acid, Chemistry::lithium_iron_phosphate}) {
        BatteryBankParameters const battery{chemistry, 12, 100, 4, 1};
        CHECK_NOTHROW(validate(battery_of(battery)));
        CHECK_NOTHROW(validate(voltage_of(battery)));
        CHECK_NOTHROW(validate(capacity_table(chemistry)));
        CHECK_NOTHROW(validate(charge_temperature_rule(chemistry)));
    }
    // Round trips, from memory: lead-acid 0.80-0.85 flooded, lithium iron phosphate 0.92-0.96.
    double const flooded = chemistry_defaults(Chemistry::flooded_lead_acid).one_way_efficiency;
    double const lithium = chemistry_defaults(Chemistry::lithium_iron_phosphate).one_way_efficiency;
    CHECK(flooded * flooded == Near{0.825, 0.025, 0});
    CHECK(lithium * lithium == Near{0.94, 0.02, 0});
}

// Invented rated capacities of one 6 V unit, those of the two-well fit.
TEST_CASE("a battery in two wells gives its rated capacity at its rated time") {
    BatteryBankParameters const battery{Chemistry::flooded_lead_acid, 6, 370, 8, 2};
    auto const b = two_well_battery_of(battery, {{5, 281}, {10, 326}, {20, 370}, {48, 405}, {100, 420}});
    CHECK_NOTHROW(validate(b));
    CHECK(b.kind == BatteryKind::two_well);
    CHECK(b.energy.capacity_kwh == Near{434.63 * 2 * 48 / 1000, 0, 0.005});
    auto lossless = b;
    lossless.energy.discharge_efficiency = 1;
    lossless.energy.min_soc = 0;
    lossless.energy.self_discharge_per_h = 0;
    double const rated_kw = 370.0 / 20 * 2 * 48 / 1000;
    CHECK(hours_until_limit(lossless, at_soc(lossless, 1), rated_kw) == Near{20, 0, 0.002});
}

TEST_CASE("a battery that does not suit the inverter is refused with the remedy") {
    BatteryBankParameters const battery{Chemistry::flooded_lead_acid, 12, 100, 2, 1};
    CHECK_THROWS_WITH_AS(
        check_voltage(battery, 48),
        "battery_v = 24 (must be within 10 % of the inverter's DC voltage: change the number "
        "of units in series)",
        ParameterError);
    CHECK_THROWS_AS(validate(BatteryBankParameters{Chemistry::flooded_lead_acid, 12, 0, 2, 1}),
                    ParameterError);
    CHECK_THROWS_AS(validate(BatteryBankParameters{Chemistry::flooded_lead_acid, 12, 100, 0, 1}),
                    ParameterError);
}

TEST_SUITE_END();
