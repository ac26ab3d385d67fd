#pragma once

#include <string>
#include <vector>

#include "sim/year/water_remarks.hpp"

namespace holdwater::tools {

/// One sentence each, with quantities in metric units as the result file stores them; scenarios::in_units
/// converts them to the reader's units.
std::vector<std::string> words(std::vector<sim::WaterRemark> const& remarks);

}  // namespace holdwater::tools
