#pragma once

#include <map>
#include <set>

#include "weather/raw_table.hpp"

namespace holdwater::weather {

/// The years of the dates in a file; years with less than 48 h are left out.
std::set<int> years_in(RawTable const& table);

/// The rows of one file, by the calendar year in local standard time in which their interval begins; each
/// year is ready for assemble() with the same options. Hours that another clock, or the shift of the options,
/// moves over the end of a year go into the year to which they belong, if it is in `record`, the years of all
/// files together. At the beginning and the end of the record no other year supplies the missing hours, so
/// the moved hours go to the other end of their own year, as with a file of one year; a warning of that year
/// gives their number. Throws WeatherError for rows without a year and for dates that do not exist.
std::map<int, RawTable> split_years(RawTable&& table, ReadOptions const& options,
                                    std::set<int> const& record);

}  // namespace holdwater::weather
