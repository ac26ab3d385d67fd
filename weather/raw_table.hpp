#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "weather/read_weather.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Where a file has nothing.
inline constexpr double missing = std::numeric_limits<double>::quiet_NaN();

/// One record of a file in SI units; missing where the file has nothing.
struct RawRow {
    std::size_t line = 0;
    int year = 0;  ///< 0 when the file does not say
    int month = 1, day = 1;
    int minute = 0;  ///< the stamp from 00:00 of the date; place_rows turns it into the interval's start
    double ghi_w_m2 = 0, dni_w_m2 = 0, dhi_w_m2 = 0, temperature_c = 0, wind_m_s = 0, albedo = 0;
};

/// What a reader of one format hands over; the common rules are applied in assemble().
struct RawTable {
    std::string path, format, station, note;
    Site site;
    int interval_min = 60;
    Stamp stamp = Stamp::end;  ///< what a row's stamp names of its interval
    /// Values are instants at a start stamp and not means over the interval.
    bool instants = false;
    /// Temperature and wind are readings at the stamp: at an interval's end or start the hour's mean lies
    /// between two of them.
    bool readings_at_stamp = false;
    /// The stamps were turned into local standard time from another clock, and may be off the full hour.
    bool other_clock = false;
    bool albedo_column = false;  ///< the file has one, if only of fillers
    /// What would make the clock agree with the sun, as a designer writes it; empty: nothing, or not known.
    std::string clock_cure;
    /// Whole hours by which local standard time is ahead of the file's stamps (files stamped in UTC).
    int hours_to_local = 0;
    std::vector<RawRow> rows;
    std::vector<Repair> repairs;
    std::vector<std::string> warnings;
};

/// Places the rows in the year, averages to hours, drops 29 February, and applies the range, night, gap and
/// closure rules (see quality.hpp). Throws WeatherError on what cannot be repaired.
WeatherYear assemble(RawTable&& table, ReadOptions const& options);

}  // namespace holdwater::weather
