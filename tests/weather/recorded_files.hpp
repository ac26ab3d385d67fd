#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>

#include "tests/weather/made_files.hpp"

namespace holdwater::test {

inline bool is_leap(int year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }

/// Calls `of(month, day, hour, index)` for every hour of a calendar year, 29 February too (its index is that
/// of 28 February).
template <class Of>
void each_hour(int year, Of const& of) {
    for (int h = 0; h < weather::hours_per_year; ++h) {
        auto const at = weather::calendar_hour(h);
        of(at.month, at.day, at.hour, static_cast<std::size_t>(h));
        if (is_leap(year) && at.month == 2 && at.day == 28 && at.hour == 23)
            for (int hour = 0; hour < 24; ++hour) of(2, 29, hour, static_cast<std::size_t>(h - 23 + hour));
    }
}

/// The light of `year` weaker by a factor of each calendar year's own, so that the years can be told apart.
inline double factor_of(int year) { return 1 - 0.01 * (year % 10); }

/// Rows of our plain CSV, without its head: year, month, day, hour, ghi, dni, dhi, temperature, wind.
inline Lines plain_rows(WeatherYear const& like, int year, bool with_air = true) {
    Lines lines;
    double const f = factor_of(year);
    each_hour(year, [&](int month, int day, int hour, std::size_t i) {
        lines.push_back(fmt::format("{},{},{},{},{:.3f},{:.3f},{:.3f},{},{}", year, month, day, hour,
                                    f * like.ghi_w_m2[i], f * like.dni_w_m2[i], f * like.dhi_w_m2[i],
                                    with_air ? fmt::format("{:.3f}", like.temperature_c[i]) : "",
                                    with_air ? fmt::format("{:.1f}", like.wind_m_s[i]) : ""));
    });
    return lines;
}

inline Lines plain_head(weather::Site const& site) {
    return {"station,Dry Fork (invented place)",
            fmt::format("latitude_deg,{}", site.latitude_deg),
            fmt::format("longitude_deg,{}", site.longitude_deg),
            fmt::format("elevation_m,{}", site.elevation_m),
            fmt::format("utc_offset_h,{}", site.utc_offset_h),
            "stamp,start",
            "year,month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s]"};
}

inline void append(Lines& lines, Lines const& more) { lines.insert(lines.end(), more.begin(), more.end()); }

/// A file of the station archive's layout. SUNY has the light of `like` by the factor of the year, METSTAT
/// 90 % of that, nothing is measured.
inline Lines archive_lines(WeatherYear const& like, int year) {
    Lines lines{
        "YYYY-MM-DD,HH:MM (LST),Zenith (deg),SUNY Glo (Wh/m^2),SUNY Glo Flg,SUNY Dir (Wh/m^2),SUNY Dir Flg,"
        "SUNY Dif (Wh/m^2),METSTAT Glo (Wh/m^2),METSTAT Dir (Wh/m^2),METSTAT Dif (Wh/m^2),METSTAT CSKY Glo "
        "(Wh/m^2),Meas Glo (Wh/m^2),Meas Dir (Wh/m^2),Meas Dif (Wh/m^2),Albedo (unitless),Albedo Flg"};
    double const f = factor_of(year);
    each_hour(year, [&](int month, int day, int hour, std::size_t i) {
        double const ghi = f * like.ghi_w_m2[i], dni = f * like.dni_w_m2[i], dhi = f * like.dhi_w_m2[i];
        lines.push_back(fmt::format(
            "{}-{:02}-{:02},{}:00,99.0,{:.3f},1,{:.3f},1,{:.3f},{:.3f},{:.3f},{:.3f},9999,-9900,-9900,-9900,"
            "0.16,0",
            year, month, day, hour + 1, ghi, dni, dhi, 0.9 * ghi, 0.9 * dni, 0.9 * dhi));
    });
    return lines;
}

}  // namespace holdwater::test
