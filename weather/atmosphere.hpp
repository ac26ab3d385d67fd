#pragma once

#include <cmath>

#include "weather/angles.hpp"

namespace holdwater::weather {

/// Irradiance outside the atmosphere at one astronomical unit [W/m2].
/// Source: Gueymard, Solar Energy 168 (2018) 2-9 (value from memory). 1367 (WMO 1981) and 1366.1 (ASTM
/// E490-00a) are older values; the choice changes clearness by 0.4 %.
inline constexpr double solar_constant_w_m2 = 1361.1;

/// Station pressure [Pa] of the standard atmosphere at `elevation_m` (valid to 11 000 m):
/// p = 101325 (1 - 2.25577e-5 h)^5.25588.
inline double standard_pressure_pa(double elevation_m) {
    return 101325 * std::pow(1 - 2.25577e-5 * elevation_m, 5.25588);
}

/// Relative optical air mass without pressure correction.
/// Kasten & Young, Applied Optics 28 (1989) 4735: AM = 1/(cos z + 0.50572 (96.07995 - z)^-1.6364), z from 0
/// to 90 degrees. Above 90 degrees the result is the value at 90. AM(0) is 0.99971, not 1.
inline double relative_air_mass(double zenith_deg) {
    double const z = std::fmin(zenith_deg, 90.0);
    return 1 / (cos_deg(z) + 0.50572 * std::pow(96.07995 - z, -1.6364));
}

}  // namespace holdwater::weather
