#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "weather/angles.hpp"

/// Formulas of the solar handbooks for hand calculations and rough daily totals. Hourly values use
/// sun_position.hpp, which is a hundred times more accurate.
namespace holdwater::weather {

/// Angle of the day of the year (1 .. 365) in radians, B = 2 pi (N - 1)/365.
inline double day_angle_rad(int day_of_year) { return 2 * std::numbers::pi * (day_of_year - 1) / 365; }

/// Spencer 1971: declination, within 0.4 deg of the sun of a given year (the calendar slips against the sun
/// within its leap cycle).
inline double declination_spencer_deg(int day_of_year) {
    double const b = day_angle_rad(day_of_year);
    return deg_per_rad *
           (0.006918 - 0.399912 * std::cos(b) + 0.070257 * std::sin(b) - 0.006758 * std::cos(2 * b) +
            0.000907 * std::sin(2 * b) - 0.002697 * std::cos(3 * b) + 0.00148 * std::sin(3 * b));
}

/// Cooper 1969: declination, up to 1.3 deg off near the equinoxes.
inline double declination_cooper_deg(int day_of_year) {
    return 23.45 * sin_deg(360.0 * (284 + day_of_year) / 365);
}

/// Spencer 1971: (1 AU/distance)^2.
inline double distance_factor_spencer(int day_of_year) {
    double const b = day_angle_rad(day_of_year);
    return 1.000110 + 0.034221 * std::cos(b) + 0.001280 * std::sin(b) + 0.000719 * std::cos(2 * b) +
           0.000077 * std::sin(2 * b);
}

/// Spencer 1971: apparent minus mean solar time [min].
inline double equation_of_time_spencer_min(int day_of_year) {
    double const b = day_angle_rad(day_of_year);
    return 229.2 * (0.000075 + 0.001868 * std::cos(b) - 0.032077 * std::sin(b) - 0.014615 * std::cos(2 * b) -
                    0.04089 * std::sin(2 * b));
}

/// Hour angle of sunset [deg] without refraction: cos ws = -tan lat tan dec; 0 in polar night and 180 in
/// polar day.
inline double sunset_hour_angle_deg(double latitude_deg, double declination_deg) {
    double const cosine = -std::tan(latitude_deg * rad_per_deg) * std::tan(declination_deg * rad_per_deg);
    return std::acos(std::clamp(cosine, -1.0, 1.0)) * deg_per_rad;
}

/// Energy on a horizontal plane outside the atmosphere between two hour angles [J/m2]; Duffie & Beckman
/// eq. 1.10.4 (number from memory). `normal_w_m2` is the solar constant times the distance factor. From minus
/// to plus the hour angle of sunset it is the total of the day, eq. 1.10.3.
inline double extraterrestrial_j_m2(double normal_w_m2, double latitude_deg, double declination_deg,
                                    double from_deg, double to_deg) {
    double const swing =
        cos_deg(latitude_deg) * cos_deg(declination_deg) * (sin_deg(to_deg) - sin_deg(from_deg));
    double const steady =
        (to_deg - from_deg) * rad_per_deg * sin_deg(latitude_deg) * sin_deg(declination_deg);
    return 43200 / std::numbers::pi * normal_w_m2 * (swing + steady);
}

/// Share of a day's global energy that falls in the hour around `hour_angle_deg`; Collares-Pereira & Rabl
/// 1979.
inline double hourly_share_of_global(double hour_angle_deg, double sunset_deg) {
    double const a = 0.409 + 0.5016 * sin_deg(sunset_deg - 60),
                 b = 0.6609 - 0.4767 * sin_deg(sunset_deg - 60);
    return std::numbers::pi / 24 * (a + b * cos_deg(hour_angle_deg)) *
           (cos_deg(hour_angle_deg) - cos_deg(sunset_deg)) /
           (sin_deg(sunset_deg) - sunset_deg * rad_per_deg * cos_deg(sunset_deg));
}

/// The same for the diffuse energy of a day; Liu & Jordan 1960.
inline double hourly_share_of_diffuse(double hour_angle_deg, double sunset_deg) {
    return std::numbers::pi / 24 * (cos_deg(hour_angle_deg) - cos_deg(sunset_deg)) /
           (sin_deg(sunset_deg) - sunset_deg * rad_per_deg * cos_deg(sunset_deg));
}

}  // namespace holdwater::weather
