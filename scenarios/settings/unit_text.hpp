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

/// "1 gpm" of a model's field that carries its SI unit in its name, such as "flow_m3_s"; the bare number
/// where it has none.
[[nodiscard]] std::string field_value(UnitSystem system, std::string_view field, double value);
/// "flow" of "flow_m3_s".
[[nodiscard]] std::string_view field_name(std::string_view field);

/// The system whose units somebody writes: US when a US unit stands behind a number in `text`.
[[nodiscard]] UnitSystem system_of(std::string_view text);

}  // namespace holdwater::scenarios
