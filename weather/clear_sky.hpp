#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"

namespace holdwater::weather {

/// Global irradiance under a clear sky. Haurwitz, J. Meteorology 2 (1945) 154:
/// GHI = 1098 cos z exp(-0.059/cos z); 0 at and below the horizon. It ignores elevation and turbidity, so it
/// is good to 5-10 %. (0.057 is also in print; 0.059 belongs to the original 94.4 cal/cm2/h, from memory.)
double clear_sky_ghi_haurwitz_w_m2(double zenith_deg);

/// Clear sky with elevation and turbidity. Ineichen & Perez, Solar Energy 73 (2002) 151 (from memory). TL is
/// the Linke turbidity at air mass 2 (2 very clear and cold, 3 clear, 4-6 hazy), AM' is corrected for
/// pressure:
///   f1 = exp(-h/8000), f2 = exp(-h/1250), c1 = 5.09e-5 h + 0.868, c2 = 3.92e-5 h + 0.0387
///   GHI = c1 G0n cos z exp(-c2 AM' (f1 + f2 (TL - 1)))
///   DNI = min{(0.664 + 0.163/f1) G0n exp(-0.09 AM' (TL - 1)),
///             GHI [1 - (0.1 - 0.2 exp(-TL))/(0.1 + 0.882/f1)]/cos z},  DHI = GHI - DNI cos z
/// Without the factor exp(0.01 AM'^1.8) that some versions apply to GHI. All 0 at and below the horizon.
Irradiance clear_sky_ineichen_perez(double zenith_deg, double elevation_m, double linke_turbidity,
                                    double extraterrestrial_normal_w_m2);

/// Hourly means of clear-sky GHI over a year by Ineichen & Perez.
std::vector<double> clear_sky_ghi_w_m2(SunYear const& sun, double linke_turbidity);

}  // namespace holdwater::weather
