#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

struct RawTable;
struct ReadOptions;
struct SunYear;

/// A year of hours with gaps: NaN where the file has no usable value.
struct HourTable {
    std::vector<double> ghi_w_m2, dni_w_m2, dhi_w_m2, temperature_c, wind_m_s, albedo;
    std::vector<int> file_year;     ///< 0 if unknown
    std::vector<std::size_t> line;  ///< line of the first record of the hour; 0 if there is none
};

/// Counts the hours that one rule changed, and adds one Repair if there are any, with the light that the rule
/// removed if that was recorded.
struct RepairCount {
    std::string kind, rule;
    int first_hour = 0, hours = 0;
    double ghi_kwh_m2 = 0, dni_kwh_m2 = 0, dhi_kwh_m2 = 0;
    void add(std::size_t hour) {
        if (hours++ == 0) first_hour = static_cast<int>(hour);
    }
    void report(std::vector<Repair>& repairs) const;
};

/// Turns rows into hours. Time stamps become starts of intervals by their meaning and the shift of the
/// options. 29 February is dropped. Rows are placed by date, and the records of an hour are averaged. If the
/// intervals do not begin on the full hour, the UTC offset of the table is changed (ReadOptions::shift_min).
/// Throws WeatherError for two rows with the same time, or for stamps that do not fit the interval.
HourTable place_rows(RawTable& table, ReadOptions const& options);

/// The minutes that place_rows adds to every stamp to get the start of its interval; RawTable::hours_to_local
/// is not part of them. Pre: the table has rows.
int stamp_to_start_min(RawTable const& table, ReadOptions const& options);

/// Turns temperature and wind that are readings at the ends (or starts) of the hours into hourly means. Where
/// the year of the file changes, the reading of the hour itself is used. Does nothing if the file has means.
void readings_to_means(HourTable& hours, RawTable const& table);

/// Fills gaps and replaces impossible values. Each rule that was used is listed in `repairs`:
///  - Irradiance outside -4 W/m2 .. the physically possible limit of Long & Dutton counts as missing; -4 .. 0
///    becomes 0. The limit uses the sun of the hour before or after if that is higher, so that a wrong clock
///    shows in the shift test and its light is not removed.
///  - If the sun is down all hour there is no beam, and the light becomes 0 unless the hour before or after
///    has sun (twilight).
///  - One missing component follows from GHI = DHI + DNI cos z.
///  - Beam above the light outside the atmosphere while the sun is up is reduced to that; what it gave on the
///    horizontal counts as diffuse.
///  - GHI alone is split by the model in the options.
///  - If GHI is missing for 1 or 2 hours in a row, the clearness kt is interpolated, never the irradiance.
///  - A longer gap is refused, unless long gaps are allowed; then the clearness is that of the same hour on
///    the nearest days.
///  - Missing temperature and wind are taken from the second file of the options, by date and hour, if there
///    is one. What is then missing follows the same rules, but the values themselves are interpolated, and
///    not across a change of the year of the file.
///  - If more than 5 % of the hours of the year (438) have no light in daytime, or no temperature, the file
///    is refused unless long gaps are allowed; from 1 % (88 hours) on there is a warning. With 5 % of the
///    hours removed at random, the light of the year changes by less than 0.5 % and that of a month by less
///    than 2 % (test weather/missing_hours).
/// Throws GapError if a gap is refused or there is no temperature, WeatherError if the light does not fit the
/// sun at all.
void fill_hours(HourTable& hours, SunYear const& sun, RawTable& table, ReadOptions const& options);

}  // namespace holdwater::weather
