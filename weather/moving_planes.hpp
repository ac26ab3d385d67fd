#pragma once

#include <array>
#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::weather {

/// A plane that turns about a single axis. When it is not turned, the plane has `axis_tilt_deg` and faces
/// `azimuth_deg`; a level north-south axis has tilt 0, azimuth 180. There is no backtracking: rows are
/// assumed not to shade each other.
struct TrackerAxis {
    double axis_tilt_deg = 0;    ///< 0 .. 90
    double azimuth_deg = 180;    ///< -360 .. 360
    double turn_limit_deg = 60;  ///< 0 .. 90, either way
    friend bool operator==(TrackerAxis const&, TrackerAxis const&) = default;
};

/// The plane turned to the smallest angle of incidence, within the limit: R = atan2(s.x, s.n), where s points
/// to the sun, n is the normal of the plane when it is not turned, and x is level and across the axis.
Plane tracker_plane(TrackerAxis const& axis, double zenith_deg, double azimuth_deg);

/// The plane of the tracker in each hour of the year; not turned in hours without sun.
std::vector<Plane> tracker_planes(TrackerAxis const& axis, SunYear const& sun);

/// Throws std::invalid_argument.
void validate(TrackerAxis const& axis);

}  // namespace holdwater::weather
