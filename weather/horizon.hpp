#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::weather {

/// Height of hills, trees and roofs around the array: elevation angles at even steps of azimuth, the first at
/// north, clockwise. 12 to 36 points; between them straight lines. Empty: open horizon.
struct HorizonProfile {
    std::vector<double> elevation_deg;  ///< 0 .. 90 each
    friend bool operator==(HorizonProfile const&, HorizonProfile const&) = default;
};

/// Throws std::invalid_argument.
void validate(HorizonProfile const& horizon);

double horizon_elevation_deg(HorizonProfile const& horizon, double azimuth_deg);

/// The plane's light with the beam and the light around the Sun gone in every hour whose Sun, at the middle
/// of its sun-up part, stands below the horizon profile. An hour is blocked whole or not at all. The sky's
/// and the ground's light stay, which leaves out the part of the sky behind the obstacles: a few percent too
/// bright for obstacles above 15 deg all round.
PlaneYear behind_horizon(PlaneYear plane, SunYear const& sun, HorizonProfile const& horizon);

}  // namespace holdwater::weather
