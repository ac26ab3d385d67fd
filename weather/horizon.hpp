#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::weather {

/// Height of hills, trees and roofs around the array: elevation angles at equal steps of azimuth, clockwise
/// from north. 12 to 36 points with straight lines between them. Empty: open horizon.
struct HorizonProfile {
    std::vector<double> elevation_deg;  ///< 0 .. 90 each
    friend bool operator==(HorizonProfile const&, HorizonProfile const&) = default;
};

/// Throws std::invalid_argument.
void validate(HorizonProfile const& horizon);

double horizon_elevation_deg(HorizonProfile const& horizon, double azimuth_deg);

/// The light on the plane without beam and circumsolar light in every hour in which the sun, in the middle of
/// the hour's sun-up part, is below the horizon profile. An hour is blocked as a whole or not at all. The
/// light from sky and ground stays. This ignores that the obstacles hide part of the sky: a few percent too
/// much light if obstacles are above 15 deg all around.
PlaneYear behind_horizon(PlaneYear plane, SunYear const& sun, HorizonProfile const& horizon);

}  // namespace holdwater::weather
