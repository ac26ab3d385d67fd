#include "scenarios/settings/unit_text.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace holdwater::scenarios;

TEST_SUITE_BEGIN("scenarios/unit_text");

TEST_CASE("quantities in a text are in the units asked for") {
    struct Row {
        std::string text, us, metric;
    };
    // By the definitions of gallon, foot, psi and hp; three digits.
    for (auto const& [text, us, metric] : std::vector<Row>{
             {"at least 20 kPa above cut-in", "at least 2.9 psi above cut-in",
              "at least 0.2 bar above cut-in"},
             {"must be -100..1500 m", "must be -328 to 4,921 ft", "must be -100..1500 m"},
             {"60 to 700 kPa", "8.7 to 102 psi", "0.6 to 7 bar"},
             {"6.3e-05 m3/s", "0.999 gpm", "3.78 L/min"},
             {"38 L/min, 1,234.5 L spilled", "10 gpm, 326 gal spilled", "38 L/min, 1,234.5 L spilled"},
             {"10 gal/min", "10 gpm", "37.9 L/min"},
             {"coldest -5.2 degC", "coldest 22.6 °F", "coldest -5.2 °C"},
             {"66 km away", "41 mi away", "66 km away"},
             {"1.5 hp", "1.5 hp", "1.12 kW"},
             {"20 psi to 28 psi", "20 psi to 28 psi", "1.38 bar to 1.93 bar"},
             // Not a quantity of water, pressure, length or temperature.
             {"up to 90 in 24 h", "up to 90 in 24 h", "up to 90 in 24 h"},
             {"5.9 kWh/m2 and 10 m/s", "5.9 kWh/m2 and 10 m/s", "5.9 kWh/m2 and 10 m/s"},
             {"use.1.persons: 2", "use.1.persons: 2", "use.1.persons: 2"},
             {"1/2 hp, 1-1/2 hp", "1/2 hp, 1-1/2 hp", "1/2 hp, 1-1/2 hp"},
             {"10 modules", "10 modules", "10 modules"},
             // As typed.
             {"\"28 kPa\" is low", "\"28 kPa\" is low", "\"28 kPa\" is low"},
             {"", "", ""}}) {
        CAPTURE(text);
        CHECK(in_units(UnitSystem::us, text) == us);
        CHECK(in_units(UnitSystem::metric, text) == metric);
        CHECK(in_units(UnitSystem::us, us) == us);
        CHECK(in_units(UnitSystem::metric, metric) == metric);
    }
    CHECK(in_both_units("give 38 L/min") == "give 38 L/min (10 gpm)");
}

TEST_CASE("a text's units are US when one of them is") {
    CHECK(system_of("40 psi") == UnitSystem::us);
    CHECK(system_of("diameter = \"1.25 in\"") == UnitSystem::us);
    CHECK(system_of("{ volume = \"86 gal\" }") == UnitSystem::us);
    CHECK(system_of("3 bar") == UnitSystem::metric);
    CHECK(system_of("") == UnitSystem::metric);
}

TEST_SUITE_END();
