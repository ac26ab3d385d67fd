#pragma once

#include <string>
#include <string_view>

#include "scenarios/design/search_settings.hpp"
#include "sim/designs/sensitivity.hpp"

namespace holdwater::tools {

/// Provenance of an input whose range was typed with the command, and is not stated in the scenario.
inline constexpr std::string_view only_tried = "tried";

/// Both ends of an input's range as typed: "inverter.idle=20 W,60 W". Throws std::invalid_argument with what
/// is accepted.
sim::RangeToTry range_to_try(std::string const& text);

/// Adds a list to choose from as typed, "battery.capacity=5 kWh,10 kWh", to the settings; a list for that key
/// alone is replaced. Throws std::invalid_argument likewise.
void add_axis(scenarios::SearchSettings& settings, std::string const& text);

}  // namespace holdwater::tools
