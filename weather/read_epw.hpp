#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// EPW. Crawley, Hand & Lawrie 1999 and the public data dictionary (missing codes and hour convention
/// compared with one reprint). Eight header lines, LOCATION first, DATA PERIODS last; hours 1-24 stamp
/// the end of the interval in local standard time; radiation is the mean of the interval, temperature and
/// wind are readings at its end. A value at or above the code of its field is missing. Two and more records
/// an hour are averaged.
bool looks_like_epw(std::vector<std::string_view> const& lines);
RawTable read_epw(std::vector<std::string_view> const& lines, std::string const& path);

}  // namespace holdwater::weather
