#pragma once

#include <map>
#include <set>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// The years of the dates in a file, those with less than 48 h left out.
std::set<int> years_in(RawTable const& table);

/// The rows of one file, by the calendar year in local standard time in which their interval begins; each
/// year ready for assemble() with the same options. Hours that another clock, or the shift of the options,
/// carries over the end of a year go into the year that they belong to when it is in `record`, the years of
/// all files together. At an end of the record, where nothing fills a year's own other end, they stand there
/// as well, as with a file of one year; how many is said in that year's warnings.
/// Throws WeatherError for rows without a year and dates that do not exist.
std::map<int, RawTable> split_years(RawTable&& table, ReadOptions const& options,
                                    std::set<int> const& record);

}  // namespace holdwater::weather
