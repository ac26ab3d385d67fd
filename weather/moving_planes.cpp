#include "weather/moving_planes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "weather/angles.hpp"

namespace holdwater::weather {

void validate(TrackerAxis const& axis) {
    validate(Plane{axis.axis_tilt_deg, axis.azimuth_deg});
    if (!(axis.axis_tilt_deg <= 90))
        throw std::invalid_argument(fmt::format("axis_tilt_deg = {} (must be 0 .. 90)", axis.axis_tilt_deg));
    if (!(axis.turn_limit_deg >= 0 && axis.turn_limit_deg <= 90))
        throw std::invalid_argument(
            fmt::format("turn_limit_deg = {} (must be 0 .. 90)", axis.turn_limit_deg));
}

Plane tracker_plane(TrackerAxis const& axis, double zenith_deg, double azimuth_deg) {
    double const sin_g = sin_deg(axis.azimuth_deg), cos_g = cos_deg(axis.azimuth_deg);
    double const sin_b = sin_deg(axis.axis_tilt_deg), cos_b = cos_deg(axis.axis_tilt_deg);
    // East, north, up.
    double const sun_e = sin_deg(zenith_deg) * sin_deg(azimuth_deg),
                 sun_n = sin_deg(zenith_deg) * cos_deg(azimuth_deg), sun_u = cos_deg(zenith_deg);
    double const along_normal = sun_e * sin_b * sin_g + sun_n * sin_b * cos_g + sun_u * cos_b;
    double const across = sun_e * cos_g - sun_n * sin_g;
    double const limit = axis.turn_limit_deg * rad_per_deg;
    double const turn = std::clamp(std::atan2(across, along_normal), -limit, limit);
    double const sin_r = std::sin(turn), cos_r = std::cos(turn);
    double const east = cos_r * sin_b * sin_g + sin_r * cos_g;
    double const north = cos_r * sin_b * cos_g - sin_r * sin_g;
    double const up = cos_r * cos_b;
    double const level = std::sqrt(east * east + north * north);
    // A level plane has no azimuth of its own, so the azimuth of the axis is used.
    double const facing_deg = level < 1e-12 ? axis.azimuth_deg : std::atan2(east, north) * deg_per_rad;
    return {std::atan2(level, up) * deg_per_rad, wrap_360(facing_deg)};
}

std::vector<Plane> tracker_planes(TrackerAxis const& axis, SunYear const& sun) {
    validate(axis);
    std::vector<Plane> planes;
    planes.reserve(hours_per_year);
    for (std::size_t i = 0; i < hours_per_year; ++i)
        planes.push_back(sun.sun_up_fraction[i] > 0
                             ? tracker_plane(axis, sun.zenith_deg[i], sun.azimuth_deg[i])
                             : Plane{axis.axis_tilt_deg, axis.azimuth_deg});
    return planes;
}

}  // namespace holdwater::weather
