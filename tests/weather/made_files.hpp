#pragma once

#include <date/date.h>
#include <fmt/format.h>

#include <functional>
#include <string>
#include <vector>

#include "tests/weather/made_years.hpp"

namespace holdwater::test {

using weather::hours_per_year;
using weather::WeatherYear;

/// A year with moving light and temperatures for the readers, at a place of its own.
inline WeatherYear reader_year(weather::Site const& site = {40, -105, 1600, -7}) {
    auto const sun = weather::sun_over_year(site);
    auto year = cloudless_year(sun);
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double const cloud = 0.4 + 0.6 * static_cast<double>(i / 24 * 5 % 11) / 10;
        year.ghi_w_m2[i] *= cloud;
        year.temperature_c[i] =
            10 + 8 * std::sin(static_cast<double>(i % 24) / 4) + static_cast<double>(i / 24 % 7);
        year.wind_m_s[i] = 1 + static_cast<double>(i % 5);
    }
    weather::decompose(year, sun, weather::DecompositionModel::erbs);
    return year;
}

/// Text files with the means of `year`, as a list of lines without ends, for tests to spoil.
using Lines = std::vector<std::string>;

inline Lines tmy3_lines(WeatherYear const& year) {
    Lines lines{fmt::format("999999,\"TEST FIELD\",ZZ,{},{},{},{}", year.site.utc_offset_h,
                            year.site.latitude_deg, year.site.longitude_deg, year.site.elevation_m),
                "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),GHI source,DNI (W/m^2),DHI (W/m^2),Dry-bulb "
                "(C),Wspd (m/s),Alb (unitless),Alb source"};
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = weather::calendar_hour(static_cast<int>(i));
        lines.push_back(fmt::format("{:02}/{:02}/{},{:02}:00,{:.3f},2,{:.3f},{:.3f},{:.2f},{:.1f},0.200,F",
                                    at.month, at.day, 1980 + at.month, at.hour + 1, year.ghi_w_m2[i],
                                    year.dni_w_m2[i], year.dhi_w_m2[i], year.temperature_c[i],
                                    year.wind_m_s[i]));
    }
    return lines;
}

inline Lines epw_lines(WeatherYear const& year) {
    Lines lines{fmt::format("LOCATION,Test Field,ZZ,XXX,TEST,999999,{},{},{},{}", year.site.latitude_deg,
                            year.site.longitude_deg, year.site.utc_offset_h, year.site.elevation_m),
                "DESIGN CONDITIONS,0",
                "TYPICAL/EXTREME PERIODS,0",
                "GROUND TEMPERATURES,0",
                "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
                "COMMENTS 1,one",
                "COMMENTS 2,two",
                "DATA PERIODS,1,1,Data,Sunday,1/1,12/31"};
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = weather::calendar_hour(static_cast<int>(i));
        lines.push_back(
            fmt::format("{},{},{},{},0,?9?9,{:.2f},0,50,83000,0,0,0,{:.3f},{:.3f},{:.3f},0,0,0,0,0,{:.1f},0,"
                        "0,9999,99999,9,0,0,0,0,0,0.2,0,0",
                        1980 + at.month, at.month, at.day, at.hour + 1, year.temperature_c[i],
                        year.ghi_w_m2[i], year.dni_w_m2[i], year.dhi_w_m2[i], year.wind_m_s[i]));
    }
    return lines;
}

/// Records every `interval_min` from minute `phase_min` on; `value` gives the seven fields of an instant in
/// minutes from 1 January 00:00 of the stamps' clock.
inline Lines gridded_lines(weather::Site const& site, double stamps_utc_h, int year, int interval_min,
                           int phase_min, std::function<std::string(int minute)> const& value,
                           bool leap_day = false) {
    Lines lines{
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,GHI "
        "Units,Temperature Units,Wind Speed,Version",
        fmt::format("TEST,123,-,-,-,{},{},{},{},{},w/m2,c,m/s,1.0", site.latitude_deg, site.longitude_deg,
                    stamps_utc_h, site.elevation_m, site.utc_offset_h),
        "Year,Month,Day,Hour,Minute,GHI,DNI,DHI,Temperature,Wind Speed,Surface Albedo"};
    auto const first = date::sys_days{date::year{year} / 1 / 1};
    int minute = phase_min;
    for (auto day = first; day < date::sys_days{date::year{year + 1} / 1 / 1}; day += date::days{1}) {
        date::year_month_day const ymd{day};
        bool const dropped = !leap_day && ymd.month() == date::February && ymd.day() == date::day{29};
        for (int in_day = phase_min; in_day < 1440 && !dropped;
             in_day += interval_min, minute += interval_min)
            lines.push_back(fmt::format("{},{},{},{},{},{}", year, static_cast<unsigned>(ymd.month()),
                                        static_cast<unsigned>(ymd.day()), in_day / 60, in_day % 60,
                                        value(minute)));
    }
    return lines;
}

inline std::string join(Lines const& lines, std::string const& end = "\n") {
    std::string text;
    for (auto const& line : lines) text += line + end;
    return text;
}

}  // namespace holdwater::test
