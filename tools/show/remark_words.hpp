#pragma once

#include <string>
#include <vector>

#include "sim/year/water_remarks.hpp"

namespace holdwater::tools {

/// One sentence each, with its figures in both unit systems, because it is also stored in the result file.
std::vector<std::string> words(std::vector<sim::WaterRemark> const& remarks);

}  // namespace holdwater::tools
