#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// TMY3 CSV. Wilcox & Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (2008).
/// Row 1: station id, name, state, UTC offset, latitude, longitude, elevation; row 2: column names; then
/// hours stamped MM/DD/YYYY,HH:MM from 01:00 to 24:00 in local standard time. Radiation is the mean of the 60
/// minutes that end at the stamp, temperature and wind are readings at the stamp. -9900 and below: missing.
/// Columns are found by name.
bool looks_like_tmy3(std::vector<std::string_view> const& lines);
RawTable read_tmy3(std::vector<std::string_view> const& lines, std::string const& path);

}  // namespace holdwater::weather
