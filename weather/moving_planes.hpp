#pragma once

#include <array>
#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::weather {

/// A rack whose tilt is set by hand, one tilt per month.
std::vector<Plane> seasonal_planes(std::array<double, 12> const& tilt_deg, double azimuth_deg);

/// A single axis about which the plane turns. Unturned, the plane has `axis_tilt_deg` and faces
/// `azimuth_deg`; a level north-south axis is tilt 0, azimuth 180. No backtracking: rows are taken not to
/// shade each other.
struct TrackerAxis {
    double axis_tilt_deg = 0;    ///< 0 .. 90
    double azimuth_deg = 180;    ///< -360 .. 360
    double turn_limit_deg = 60;  ///< 0 .. 90, either way
    friend bool operator==(TrackerAxis const&, TrackerAxis const&) = default;
};

/// The turn that brings the Sun into the plane normal to the module across the axis (smallest incidence),
/// held within the limit: R = atan2(s.x, s.n) with s towards the Sun, n the unturned normal and x level and
/// across the axis.
Plane tracker_plane(TrackerAxis const& axis, double zenith_deg, double azimuth_deg);

/// The tracker through the year; unturned in hours without sun.
std::vector<Plane> tracker_planes(TrackerAxis const& axis, SunYear const& sun);

/// Throws std::invalid_argument.
void validate(TrackerAxis const& axis);

}  // namespace holdwater::weather
