#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "weather/read_weather.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// A value that the file does not have.
inline constexpr double missing = std::numeric_limits<double>::quiet_NaN();

/// One record of a file in SI units; `missing` where the file has no value.
struct RawRow {
    std::size_t line = 0;
    int year = 0;  ///< 0 if the file does not say
    int month = 1, day = 1;
    int minute = 0;  ///< the stamp from 00:00 of the date; place_rows turns it into the start of the interval
    double ghi_w_m2 = 0, dni_w_m2 = 0, dhi_w_m2 = 0, temperature_c = 0, wind_m_s = 0, albedo = 0;
};

/// Which columns a file must have.
struct Needs {
    bool light = true, temperature = true;
};

/// The result of the reader of one format; assemble() applies the common rules.
struct RawTable {
    std::string path, format, station, note;
    std::string state;  ///< WeatherYear::state
    Site site;
    int interval_min = 60;
    Stamp stamp = Stamp::end;  ///< the instant of its interval that the stamp of a row means
    /// Values are readings at the start of the interval and not means over it.
    bool instants = false;
    /// Temperature and wind are readings at the stamp. If that is the end or the start of an interval, the
    /// mean of the hour lies between two readings.
    bool readings_at_stamp = false;
    /// The stamps were converted from another clock to local standard time and may be off the full hour.
    bool other_clock = false;
    bool albedo_column = false;  ///< the file has one, even if it only contains filler values
    /// What a designer must write so that the clock agrees with the sun; empty: nothing, or not known.
    std::string clock_cure;
    /// Hours by which local standard time is ahead of the times in the file (for files in UTC), whole.
    int hours_to_local = 0;
    /// The sentence that says that the times were converted from another clock; empty: they were not. It
    /// becomes a warning when the rows are placed in their year.
    std::string moved_stamps;
    std::vector<RawRow> rows;
    std::vector<Repair> repairs;
    std::vector<std::string> warnings;
};

/// Throws WeatherError if the place is not on the Earth.
void check_site(RawTable const& table);

/// Places the rows in the year, averages them to hours, drops 29 February, and applies the rules for range,
/// night, gaps and closure (see hour_table.hpp). Throws WeatherError for what cannot be repaired.
WeatherYear assemble(RawTable&& table, ReadOptions const& options);

}  // namespace holdwater::weather
