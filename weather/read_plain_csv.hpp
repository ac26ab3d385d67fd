#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// Plain CSV of our own, which describes itself:
///
///     # comment lines, kept as the year's note
///     station,Dry Fork (invented place)
///     latitude_deg,40
///     longitude_deg,-105
///     elevation_m,1600
///     utc_offset_h,-7
///     stamp,start                  (start, middle or end of the interval)
///     interval_min,60              (optional)
///     month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s],albedo [1]
///     1,1,0,0,0,0,-3.1,2.4,0.2
///
/// Columns may be in any order. `year` and `minute` are optional, `time` ("2021-01-31 14:00") may replace all
/// time columns; dni with dhi, wind and albedo are optional. So is the irradiance in a second file, and the
/// temperature if there is a second file (Needs). A file with a year column may hold many years, in any
/// order. Empty fields and NaN mean missing. A time of day is HH:MM, optionally with seconds of 00, AM or PM,
/// and with Z, UTC, GMT or an offset (+01:00, -0700) after it. With an offset, the time is converted to local
/// standard time (utc_offset_h); without one it is taken as local standard time. Anything else after it is
/// refused.
bool looks_like_plain_csv(std::vector<std::string_view> const& lines);
RawTable read_plain_csv(std::vector<std::string_view> const& lines, std::string const& path,
                        Needs needs = {});

/// Any other CSV, read by a map; comment lines (#) and lines before the header row are skipped.
RawTable read_mapped_csv(std::vector<std::string_view> const& lines, std::string const& path,
                         ColumnMap const& map, Needs needs = {});

}  // namespace holdwater::weather
