#include "models/battery/battery_bank.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/battery_bank");

TEST_CASE("all defaults are within their usual ranges and pass their own checks") {
    for (auto chemistry :
         {Chemistry::flooded_lead_acid, Chemistry::sealed_lead_acid, Chemistry::lithium_iron_phosphate}) {
        CHECK_NOTHROW(validate(BatteryVoltageParameters{open_circuit_12v(chemistry), 0.01}));
        CHECK_NOTHROW(validate(capacity_table(chemistry)));
        CHECK_NOTHROW(validate(charge_temperature_rule(chemistry)));
    }
    // Round trips, from memory: lead-acid 0.80-0.85 flooded, lithium iron phosphate 0.92-0.96.
    double const flooded = chemistry_defaults(Chemistry::flooded_lead_acid).one_way_efficiency;
    double const lithium = chemistry_defaults(Chemistry::lithium_iron_phosphate).one_way_efficiency;
    CHECK(flooded * flooded == Near{0.825, 0.025, 0});
    CHECK(lithium * lithium == Near{0.94, 0.02, 0});
}

TEST_SUITE_END();
