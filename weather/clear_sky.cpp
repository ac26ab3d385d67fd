#include "weather/clear_sky.hpp"

#include <algorithm>
#include <cmath>

#include "weather/angles.hpp"
#include "weather/atmosphere.hpp"

namespace holdwater::weather {

double clear_sky_ghi_haurwitz_w_m2(double zenith_deg) {
    double const cosine = cos_deg(zenith_deg);
    return cosine > 0 ? 1098 * cosine * std::exp(-0.059 / cosine) : 0;
}

Irradiance clear_sky_ineichen_perez(double zenith_deg, double elevation_m, double linke, double normal_w_m2) {
    double const cosine = cos_deg(zenith_deg);
    if (cosine <= 0) return {0, 0, 0};
    double const h = elevation_m;
    double const air_mass = relative_air_mass(zenith_deg) * standard_pressure_pa(h) / 101325;
    double const f1 = std::exp(-h / 8000), f2 = std::exp(-h / 1250);
    double const c1 = 5.09e-5 * h + 0.868, c2 = 3.92e-5 * h + 0.0387;
    double const ghi = c1 * normal_w_m2 * cosine * std::exp(-c2 * air_mass * (f1 + f2 * (linke - 1)));
    double const beam = (0.664 + 0.163 / f1) * normal_w_m2 * std::exp(-0.09 * air_mass * (linke - 1));
    double const most = ghi * (1 - (0.1 - 0.2 * std::exp(-linke)) / (0.1 + 0.882 / f1)) / cosine;
    double const dni = std::max(0.0, std::min(beam, most));
    return {ghi, dni, ghi - dni * cosine};
}

std::vector<double> clear_sky_ghi_w_m2(SunYear const& sun, double linke_turbidity) {
    std::vector<double> ghi(sun.zenith_deg.size());
    for (std::size_t i = 0; i < ghi.size(); ++i)
        if (sun.sun_up_fraction[i] > 0)
            ghi[i] = sun.sun_up_fraction[i] * clear_sky_ineichen_perez(sun.zenith_deg[i],
                                                                       sun.site.elevation_m, linke_turbidity,
                                                                       sun.extraterrestrial_normal_w_m2[i])
                                                  .ghi_w_m2;
    return ghi;
}

}  // namespace holdwater::weather
