#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

struct RawTable;
struct ReadOptions;
struct SunYear;

/// A year of hours with holes: NaN where the file has nothing usable.
struct HourTable {
    std::vector<double> ghi_w_m2, dni_w_m2, dhi_w_m2, temperature_c, wind_m_s, albedo;
    std::vector<int> file_year;     ///< 0 where unknown
    std::vector<std::size_t> line;  ///< line of the hour's first record, 0 where there is none
};

/// Counts the hours touched by one rule and adds one Repair when there are any; with the light it took away
/// where that was noted.
struct RepairCount {
    std::string kind, rule;
    int first_hour = 0, hours = 0;
    double ghi_kwh_m2 = 0, dni_kwh_m2 = 0, dhi_kwh_m2 = 0;
    void add(std::size_t hour) {
        if (hours++ == 0) first_hour = static_cast<int>(hour);
    }
    void report(std::vector<Repair>& repairs) const;
};

/// Rows to hours: stamps turned into starts by what they mean and the shift of the options, 29 February
/// dropped whole, rows placed by date, records of one hour averaged. Moves the table's UTC offset where the
/// intervals do not begin on the full hour (ReadOptions::shift_min).
/// Throws WeatherError for two rows of one time, or stamps off the grid of the interval.
HourTable place_rows(RawTable& table, ReadOptions const& options);

/// Holes and impossible values to a full year; the rules, each listed in `repairs` where it was used:
///  - irradiance outside -4 W/m2 .. the physically possible limit of Long & Dutton (with the sun of the hour
///    before or after if that is higher, so that a clock error shows in the shift test and is not cut away)
///    is taken as missing; -4 .. 0 becomes 0;
///  - sun down all hour: no beam; light becomes 0 unless the hour before or after has sun (twilight);
///  - one component missing: from GHI = DHI + DNI cos z;
///  - more beam than comes from outside the atmosphere while the sun is up is cut to that; what it gave the
///    horizontal counts as diffuse;
///  - GHI alone: split by the model in the options;
///  - GHI missing for 1 or 2 hours in a row: clearness kt interpolated, never irradiance;
///  - more: refused, unless long gaps are allowed; then clearness from the same hour of the nearest days;
///  - temperature and wind likewise, interpolated themselves, not across a change of the file's year;
///  - more than 5 % of the year's hours (438) without light in the day, or without temperature: refused,
///    unless long gaps are allowed, and said in a warning from 1 % (88 hours) on. With 5 % of the hours taken
///    out at random the year's light moves by less than 0.5 % and a month's by less than 2 %
///    (test weather/missing_hours).
/// Throws WeatherError when a gap is refused or the light does not fit the sun at all.
void fill_hours(HourTable& hours, SunYear const& sun, RawTable& table, ReadOptions const& options);

}  // namespace holdwater::weather
