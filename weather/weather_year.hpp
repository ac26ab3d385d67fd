#pragma once

#include <string>
#include <vector>

namespace holdwater::weather {

inline constexpr int hours_per_year = 8760;

/// Place of the weather. Latitude is positive north, longitude is positive east. The UTC offset is that of
/// local standard time, never daylight saving (negative in the west, halves and quarters allowed).
struct Site {
    double latitude_deg = 0;   ///< -90 .. 90
    double longitude_deg = 0;  ///< -180 .. 180
    double elevation_m = 0;    ///< above sea level, -450 .. 9000
    double utc_offset_h = 0;   ///< -12 .. 14
    friend bool operator==(Site const&, Site const&) = default;
};

/// A change that was made to the numbers of a file while it was read. Every change has one.
struct Repair {
    std::string kind;    ///< short name: "gap", "night value", "component from closure", ...
    int first_hour = 0;  ///< hour index of the first hour that was changed
    int hours = 0;       ///< number of hours that were changed (not always in one run)
    std::string rule;    ///< what was done, in words
};

/// A year of hourly weather. Hour 0 is 00:00-01:00 on 1 January in local standard time; 8760 hours, no
/// 29 February. Irradiance, temperature and wind are means over the hour, so the irradiance of an hour in
/// W/m2 is also its energy in Wh/m2. Every vector has 8760 finite values; `albedo` is empty if the file has
/// none.
struct WeatherYear {
    std::string path;     ///< the file from which it was read, or what made it
    std::string format;   ///< "TMY3", "EPW", "gridded CSV", "plain CSV", "made"
    std::string station;  ///< name as in the file, UTF-8
    std::string note;     ///< comment lines of the file
    Site site;
    std::vector<double> ghi_w_m2;       ///< global on the horizontal
    std::vector<double> dni_w_m2;       ///< beam on a plane facing the sun
    std::vector<double> dhi_w_m2;       ///< diffuse on the horizontal
    std::vector<double> temperature_c;  ///< air
    std::vector<double> wind_m_s;       ///< as measured, commonly at 10 m
    std::vector<double> albedo;         ///< ground reflectance 0 .. 1; may be empty
    std::vector<int> file_year;         ///< calendar year of each hour (in a typical year the months differ)
    std::vector<Repair> repairs;
    std::vector<std::string> warnings;
    std::string state;  ///< state or province as in the file, else the country; "" if it names neither
};

/// Hour index (0 .. 8759) of the start of an hour of the day in the 365-day year. Pre: not 29 February.
int hour_index(int month, int day, int hour);

struct CalendarHour {
    int month = 1, day = 1, hour = 0;
};
/// The inverse of hour_index.
CalendarHour calendar_hour(int hour_index);

/// First hour of each month, and 8760 at the end.
inline constexpr int month_start_hour[13] = {0,    744,  1416, 2160, 2880, 3624, 4344,
                                             5088, 5832, 6552, 7296, 8016, 8760};

/// Throws WeatherError if a vector does not have 8760 values, a value is not finite, or the site is out of
/// range.
void validate(WeatherYear const& year);

}  // namespace holdwater::weather
