#pragma once

#include <string>

#include "sim/region/region_rows.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// The answer on the terminal: a line for each station, array and demand, the stations without an answer with
/// their reasons, and a rule for each state.
std::string region_text(sim::RegionAnswer const& answer, Units units);

}  // namespace holdwater::tools
