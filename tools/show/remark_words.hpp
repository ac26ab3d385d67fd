#pragma once

#include <string>
#include <vector>

#include "sim/year/water_remarks.hpp"

namespace holdwater::tools {

/// One sentence each, quantities in metric units as the result file stores them; scenarios::in_units puts
/// them into a reader's.
std::vector<std::string> words(std::vector<sim::WaterRemark> const& remarks);

}  // namespace holdwater::tools
