#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// Single-year CSV of a national gridded radiation database: row 1 has the names of the site data, row 2
/// their values, row 3 the column names, which begin with Year,Month,Day,Hour,Minute, and then come the
/// records.
/// "Time Zone" is the UTC offset of the times in the file. If "Local Time Zone" differs (times in UTC), the
/// hours are moved to local standard time. Values hold at the stated time. If records are at the middle of
/// their interval (minute 30 of hourly files), a value is the mean of its interval. If they are at its edge
/// (minutes 0 and 30), the mean of the hour is the trapezoid 0.25, 0.5, 0.25 (from memory; the closure shift
/// test shows if a file means something else).
bool looks_like_gridded(std::vector<std::string_view> const& lines);
/// `stamp_given`: the user has said what the times mean, so they may be anywhere in their interval.
RawTable read_gridded(std::vector<std::string_view> const& lines, std::string const& path, bool stamp_given,
                      Needs needs = {});

}  // namespace holdwater::weather
