#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// `text` with every quantity in it, such as "20 kPa", "-100..1500 m" or "60 to 700 kPa", converted to the
/// trade's units of a system: psi, gal, gpm, ft, °F and hp, or bar, L, L/min, m, °C and kW. Quantities that
/// are already in these units, and text in double quotes (as the user typed it), are not changed. Figures
/// have three digits, or more if the figure is larger, with commas between thousands. Inches are not
/// converted ("90 in 24 h").
[[nodiscard]] std::string in_units(UnitSystem system, std::string_view text);

/// The same in both systems, metric first: "38 L/min (10 gpm)".
[[nodiscard]] std::string in_both_units(std::string_view text);

/// The unit system in which a text was written: US if a US unit follows a number in `text`.
[[nodiscard]] UnitSystem system_of(std::string_view text);

}  // namespace holdwater::scenarios
