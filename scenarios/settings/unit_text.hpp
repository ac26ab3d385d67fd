#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// `text` with every quantity in it, such as "20 kPa", "-100..1500 m" or "60 to 700 kPa", in the trade's
/// units of a system: psi, gal, gpm, ft, °F and hp, or bar, L, L/min, m, °C and kW. Quantities that are in
/// them already, and what stands in double quotes (as typed by somebody), stay as they are. Three digits, or
/// more where the figure is larger, with commas between thousands. Inches are left alone ("90 in 24 h").
[[nodiscard]] std::string in_units(UnitSystem system, std::string_view text);

/// The same in both, metric first: "38 L/min (10 gpm)".
[[nodiscard]] std::string in_both_units(std::string_view text);

/// The system whose units somebody writes: US when a US unit stands behind a number in `text`.
[[nodiscard]] UnitSystem system_of(std::string_view text);

}  // namespace holdwater::scenarios
