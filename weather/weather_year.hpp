#pragma once

#include <string>
#include <vector>

namespace holdwater::weather {

inline constexpr int hours_per_year = 8760;

/// Where the weather holds. Latitude north positive, longitude east positive, offset of local standard time
/// from UTC (west negative, halves and quarters allowed; never daylight saving).
struct Site {
    double latitude_deg = 0;   ///< -90 .. 90
    double longitude_deg = 0;  ///< -180 .. 180
    double elevation_m = 0;    ///< above sea level, -450 .. 9000
    double utc_offset_h = 0;   ///< -12 .. 14
    friend bool operator==(Site const&, Site const&) = default;
};

/// One thing changed in the numbers of a file while reading it. Nothing is changed without one.
struct Repair {
    std::string kind;    ///< short name: "gap", "night value", "component from closure", ...
    int first_hour = 0;  ///< hour index of the first hour touched
    int hours = 0;       ///< number of hours touched (not always in one run)
    std::string rule;    ///< what was done, in words
};

/// A year of hourly weather. Hour 0 is 00:00-01:00 on 1 January in local standard time; 8760 hours, no
/// 29 February. Irradiance, temperature and wind are means over the hour; irradiance in W/m2 of a whole hour
/// is at the same time energy in Wh/m2. Every vector holds 8760 finite values; `albedo` is empty when the
/// file has none.
struct WeatherYear {
    std::string path;     ///< file it was read from, or what made it
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
    std::vector<int> file_year;  ///< calendar year each hour came from (months of a typical year differ)
    std::vector<Repair> repairs;
    std::vector<std::string> warnings;
};

/// Hour index (0 .. 8759) of the start of an hour of the day in the 365-day year. Pre: not 29 February.
int hour_index(int month, int day, int hour);

struct CalendarHour {
    int month = 1, day = 1, hour = 0;
};
/// The reverse of hour_index.
CalendarHour calendar_hour(int hour_index);

/// First hour of each month and, last, 8760.
inline constexpr int month_start_hour[13] = {0,    744,  1416, 2160, 2880, 3624, 4344,
                                             5088, 5832, 6552, 7296, 8016, 8760};

/// Throws WeatherError when vectors are not 8760 long, a value is not finite or the site is off the Earth.
void validate(WeatherYear const& year);

}  // namespace holdwater::weather
