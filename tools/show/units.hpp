#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::tools {

/// The units a person reads; files and --json stay in SI units.
using Units = scenarios::UnitSystem;

/// What the command line says, else the scenario's `units`, else metric.
Units units_of(std::optional<Units> said, scenarios::Scenario const& scenario);

/// Warnings on standard error, the quantities in them in those units; `head` before each.
void print_warnings(std::vector<std::string> const& warnings, Units units, std::string const& head = "");

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
