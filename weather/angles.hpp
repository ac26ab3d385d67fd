#pragma once

#include <cmath>
#include <numbers>

namespace holdwater::weather {

inline constexpr double rad_per_deg = std::numbers::pi / 180;
inline constexpr double deg_per_rad = 180 / std::numbers::pi;

inline double sin_deg(double angle_deg) { return std::sin(angle_deg * rad_per_deg); }
inline double cos_deg(double angle_deg) { return std::cos(angle_deg * rad_per_deg); }

/// The same direction in 0 .. 360.
inline double wrap_360(double angle_deg) {
    double const rest = std::fmod(angle_deg, 360.0);
    return rest < 0 ? rest + 360 : rest;
}

/// The same direction in -180 .. 180.
inline double wrap_180(double angle_deg) {
    double const rest = wrap_360(angle_deg);
    return rest > 180 ? rest - 360 : rest;
}

}  // namespace holdwater::weather
