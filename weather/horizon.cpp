#include "weather/horizon.hpp"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

#include "weather/angles.hpp"

namespace holdwater::weather {

void validate(HorizonProfile const& horizon) {
    auto const n = horizon.elevation_deg.size();
    if (n != 0 && (n < 12 || n > 36))
        throw std::invalid_argument(fmt::format("horizon has {} points (must be 12 .. 36, or none)", n));
    for (double elevation : horizon.elevation_deg)
        if (!(elevation >= 0 && elevation <= 90))
            throw std::invalid_argument(fmt::format("horizon elevation {} (must be 0 .. 90)", elevation));
}

double horizon_elevation_deg(HorizonProfile const& horizon, double azimuth_deg) {
    auto const n = horizon.elevation_deg.size();
    if (n == 0) return 0;
    double const at = wrap_360(azimuth_deg) / 360 * static_cast<double>(n);
    double const whole = std::floor(at);
    auto const from = static_cast<std::size_t>(whole) % n;
    double const low = horizon.elevation_deg[from], high = horizon.elevation_deg[(from + 1) % n];
    return low + (at - whole) * (high - low);
}

PlaneYear behind_horizon(PlaneYear plane, SunYear const& sun, HorizonProfile const& horizon) {
    validate(horizon);
    if (horizon.elevation_deg.empty()) return plane;
    for (std::size_t i = 0; i < plane.beam_w_m2.size(); ++i) {
        if (sun.sun_up_fraction[i] <= 0) continue;
        if (90 - sun.zenith_deg[i] >= horizon_elevation_deg(horizon, sun.azimuth_deg[i])) continue;
        plane.beam_w_m2[i] = 0;
        plane.circumsolar_w_m2[i] = 0;
    }
    return plane;
}

}  // namespace holdwater::weather
