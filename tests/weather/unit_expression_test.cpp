#include "weather/units/unit_expression.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>
#include <vector>

#include "weather/unit_conversion.hpp"

using namespace holdwater;
using weather::read_unit_expression;

namespace {

std::vector<std::string> names_of(weather::UnitExpression const& expression) {
    std::vector<std::string> names;
    for (auto const& step : expression.steps)
        if (!step.name.empty() && step.name != "1") names.push_back(step.name);
    return names;
}

}  // namespace

TEST_SUITE_BEGIN("weather/unit_expression");

TEST_CASE("names with exponents, products, quotients") {
    struct Row {
        char const* text;
        std::vector<std::string> names;
    };
    for (auto const& [text, names] : std::vector<Row>{{"gal/day", {"gal", "day"}},
                                                      {"W m-2 K-1", {"W", "m", "K"}},
                                                      {"W/(m2.K)", {"W", "m", "K"}},
                                                      {"W/m^2", {"W", "m"}},
                                                      {"m**3", {"m"}},
                                                      {"1/K", {"K"}},
                                                      {"%/K", {"%", "K"}},
                                                      {"kW·h", {"kW", "h"}},
                                                      {"W/m²", {"W", "m"}},
                                                      {"m²s", {"m", "s"}},
                                                      {"gal per day", {"gal", "day"}},
                                                      {"mΩ", {"mΩ"}},
                                                      {"ft_H2O", {"ft_H2O"}},
                                                      {" gal / day ", {"gal", "day"}}}) {
        CAPTURE(text);
        auto const found = read_unit_expression(text);
        CHECK(found.problem == "");
        CHECK(names_of(found) == names);
    }
}

TEST_CASE("a second number, an offset, a logarithm are no unit") {
    struct Row {
        char const* text;
        char const* problem;
    };
    for (auto const& [text, problem] : std::vector<Row>{{"200 gal/day", "there is a second number, \"200\""},
                                                        {"kWh @ 51.2", "\"@\" is no part of a unit"},
                                                        {"kWh 51.2", "there is a second number, \"51.2\""},
                                                        {"kWh.2", "there is a second number, \"2\""},
                                                        {"kWh-51.2", "\"-\" is no part of a unit"},
                                                        {"m2.5", "there is a second number, \"5\""},
                                                        {"gal/2 day", "there is a second number, \"2\""},
                                                        {"-20 kWh", "\"-\" is no part of a unit"},
                                                        {"lg(re 1 mW)", "\"lg(\" is not understood"},
                                                        {"K after 3", "there is a second number, \"3\""},
                                                        {"½ hp", "\"½\" is no part of a unit"},
                                                        {"\u00a0gal", "\"\u00a0\" is no part of a unit"},
                                                        {"gal/", "the unit is not complete"},
                                                        {"/day", "\"/\" is no part of a unit"},
                                                        {"(m", "the unit is not complete"},
                                                        {"m²2", "there is a second number, \"2\""},
                                                        {"m³³³", "the exponent 333 is too high"},
                                                        {"kW · h", "there is a space beside \"·\""},
                                                        {"(m )", "there is a space before \")\""},
                                                        {"m)", "\")\" is no part of a unit"},
                                                        {"m^", "\"^\" is no part of a unit"},
                                                        {"", "the unit is not complete"}}) {
        CAPTURE(text);
        CHECK(read_unit_expression(text).problem == problem);
    }
}

TEST_CASE("units of weather columns: no factor, no offset") {
    CHECK(weather::to_unit("degF", "degC").factor == doctest::Approx(5 / 9.));
    CHECK(weather::to_irradiance("kJ/m2", 60).factor == doctest::Approx(1000 / 3600.));
    for (char const* bad : {"K @ 10", "10 degC", "0.1 degC", "degC 2"})
        CHECK_THROWS_AS((void)weather::to_unit(bad, "degC"), std::invalid_argument);
    for (char const* bad : {"1000 W/m2", "W/m2 @ 5", "W/m2 2", "2 kJ/m2"})
        CHECK_THROWS_AS((void)weather::to_irradiance(bad, 60), std::invalid_argument);
}

TEST_SUITE_END();
