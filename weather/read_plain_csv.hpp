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
/// Columns in any order; `year` and `minute` may be there, `time` ("2021-01-31 14:00") may stand for all of
/// them; dni with dhi, wind and albedo may be absent; so may the light of a second file, or the temperature
/// where there is one (Needs). A file with years may hold many of them, in any order. Empty fields and NaN
/// are missing. A time of day is HH:MM with seconds of 00, AM or PM, and Z, UTC, GMT or an offset (+01:00,
/// -0700) behind it; with an offset the stamp is turned into local standard time (utc_offset_h), without one
/// it is taken as that. Anything else behind it is refused.
bool looks_like_plain_csv(std::vector<std::string_view> const& lines);
RawTable read_plain_csv(std::vector<std::string_view> const& lines, std::string const& path,
                        Needs needs = {});

/// Any other CSV, by a map; comment lines (#) and lines before the header row are skipped.
RawTable read_mapped_csv(std::vector<std::string_view> const& lines, std::string const& path,
                         ColumnMap const& map, Needs needs = {});

}  // namespace holdwater::weather
