#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// Single-year CSV of a national gridded radiation database: row 1 names of site data, row 2 their values,
/// row 3 column names beginning Year,Month,Day,Hour,Minute, then the records.
/// "Time Zone" is the offset of the stamps; when "Local Time Zone" differs (stamps in UTC), the hours are
/// moved to local standard time. Values hold at the stamp: with records at the middle of their interval
/// (minute 30 of hourly files) a value is the mean of its interval; with records on the interval's edge
/// (minutes 0 and 30) the hour's mean is the trapezoid 0.25, 0.5, 0.25 (from memory; the closure shift test
/// shows a file that means otherwise).
bool looks_like_gridded(std::vector<std::string_view> const& lines);
/// `stamp_given`: somebody said what the stamps mean, so that they may lie anywhere in their interval.
RawTable read_gridded(std::vector<std::string_view> const& lines, std::string const& path, bool stamp_given,
                      Needs needs = {});

}  // namespace holdwater::weather
