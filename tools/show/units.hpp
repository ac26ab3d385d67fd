#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::tools {

/// The units a person reads; files and --json stay in SI units.
using Units = scenarios::UnitSystem;

/// What the command line says, else the scenario's `units`, else metric.
Units units_of(std::optional<Units> said, scenarios::Scenario const& scenario);

/// "82125" as "82,125"; what is not a plain number of at least 10,000 as it is.
std::string with_thousands(std::string number);

/// "331,600 L" or "87,600 gal", and so on, rounded for reading.
std::string show_volume(double volume_m3, Units units);
std::string show_fuel(double volume_l, Units units);
std::string show_temperature(double temperature_c, Units units);
std::string show_length(double length_m, Units units);

/// A figure of a table in the units a person reads: of SI to what the trade says in either system.
struct ShownFigure {
    double value{};
    std::string unit;  ///< "" for bare numbers
};
ShownFigure shown(double value, std::string_view unit, Units units);

}  // namespace holdwater::tools
