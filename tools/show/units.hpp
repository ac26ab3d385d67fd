#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/shown_figure.hpp"

namespace holdwater::tools {

/// The units for the reader; files and --json stay in SI units.
using Units = scenarios::UnitSystem;

/// The units of the command line, otherwise the scenario's `units`, otherwise metric.
Units units_of(std::optional<Units> said, scenarios::Scenario const& scenario);

/// Prints warnings on standard error, with their quantities in those units; `head` before each.
void print_warnings(std::vector<std::string> const& warnings, Units units, std::string const& head = "");

/// "331,600 L" or "87,600 gal", and so on, rounded for the reader.
std::string show_volume(double volume_m3, Units units);
std::string show_fuel(double volume_l, Units units);
std::string show_temperature(double temperature_c, Units units);
std::string show_length(double length_m, Units units);

/// The conversion of the figures of a table.
using sim::shown, sim::ShownFigure;

}  // namespace holdwater::tools
