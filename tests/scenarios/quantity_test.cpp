#include "scenarios/quantity.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/support/near.hpp"

using namespace holdwater;
using scenarios::QuantityError, scenarios::QuantityReader, test::Near;

TEST_SUITE_BEGIN("scenarios/quantity");

// NIST Special Publication 811 (2008), appendix B, exact definitions: gallon = 231 in^3,
// pound-force = 0.45359237 kg x 9.80665 m/s^2, inch = 0.0254 m, foot = 0.3048 m; the table itself from
// memory, the derived figures recomputed from the definitions. Tolerance: double rounding.
TEST_CASE("trade units have their exact values") {
    QuantityReader const reader;
    struct Row {
        std::string text, unit;
        double value;
    };
    for (auto const& [text, unit, value] : std::vector<Row>{
             {"1 gal", "m3", 3.785411784e-3},
             {"1 gpm", "m3/s", 3.785411784e-3 / 60},
             {"225 gpd", "m3/day", 225 * 3.785411784e-3},
             {"10 gal/min", "m3/s", 3.785411784e-2 / 60},
             {"1 psi", "kPa", 6.894757293168361},
             {"1 hp", "W", 745.6998715822702},
             {"1 ft", "m", 0.3048},
             {"1.36 in", "m", 1.36 * 0.0254},
             {"0.25 gpm/ft", "m2/s", 0.25 * 3.785411784e-3 / 60 / 0.3048},
             {"1 kWh", "kWh", 1},
             {"250 Wh", "kWh", 0.25},
             {"100 Ah", "A.h", 100},
             {"5 kVA", "W", 5000},
             {"10 mph", "m/s", 4.4704},
             {"35 deg", "deg", 35},
             {"50 degF", "degC", 10},
             {"20 ms", "s", 0.02},
             {"  6 h ", "s", 21600},
             {"3 bar", "kPa", 300},
             {"1e3 L/day", "m3/day", 1},
             {"2.5 %", "1", 0.025},
         }) {
        CAPTURE(text);
        CHECK(reader.read(text, unit) == Near{value, 0, 1e-14});
    }
}

TEST_CASE("what cannot be a quantity is refused in words") {
    QuantityReader const reader;
    struct Row {
        std::string text, unit, message;
    };
    for (auto const& [text, unit, message] : std::vector<Row>{
             {"40", "kPa",
              "\"40\" has no unit; expected a pressure such as \"40 psi\", \"3 bar\" or \"280 kPa\""},
             {"40 psy", "kPa",
              "\"psy\" is not a known unit; expected a pressure such as \"40 psi\", \"3 bar\" or \"280 "
              "kPa\""},
             {"40 gal", "kPa",
              "\"40 gal\" is not the right kind of quantity; expected a pressure such as \"40 psi\", \"3 "
              "bar\" "
              "or \"280 kPa\""},
             {"1,5 hp", "W",
              "\",5 hp\" is not a known unit; expected a power such as \"1500 W\", \"6 kW\" or \"1.5 hp\""},
             {"many psi", "kPa",
              "\"many psi\" does not start with a number; expected a pressure such as \"40 psi\", \"3 bar\" "
              "or \"280 kPa\""},
             {"nan psi", "kPa",
              "\"nan psi\" does not start with a number; expected a pressure such as \"40 psi\", \"3 bar\" "
              "or \"280 kPa\""},
             {"2 K", "%/K",
              "\"2 K\" is not the right kind of quantity; expected a quantity in a unit like \"%/K\""},
             {"1e308 km", "m",
              "\"1e308 km\" is too large a number; expected a length such as \"120 ft\", \"1.36 in\" or \"30 "
              "m\""},
             {"", "deg", "\"\" does not start with a number; expected an angle such as \"35 deg\""},
             {"35 %", "deg",
              "\"35 %\" is not the right kind of quantity; expected an angle such as \"35 deg\""},
         }) {
        CAPTURE(text);
        CHECK_THROWS_WITH_AS((void)reader.read(text, unit), message.c_str(), QuantityError);
    }
}

TEST_SUITE_END();
