#pragma once

#include "weather/clear_sky.hpp"
#include "weather/decomposition.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::test {

/// A cloudless year: Haurwitz in sun-up means, split by Erbs without a low-sun guard, hour means stored.
inline weather::WeatherYear cloudless_year(weather::SunYear const& sun, double temperature_c = 20,
                                           double wind_m_s = 2) {
    weather::WeatherYear year;
    year.path = "cloudless";
    year.format = "made";
    year.site = sun.site;
    std::size_t const n = weather::hours_per_year;
    year.ghi_w_m2.assign(n, 0);
    year.dni_w_m2.assign(n, 0);
    year.dhi_w_m2.assign(n, 0);
    year.temperature_c.assign(n, temperature_c);
    year.wind_m_s.assign(n, wind_m_s);
    year.file_year.assign(n, 2023);
    for (std::size_t i = 0; i < n; ++i) {
        double const f = sun.sun_up_fraction[i];
        if (f <= 0) continue;
        double const ghi = weather::clear_sky_ghi_haurwitz_w_m2(sun.zenith_deg[i]);
        double const kt = ghi / (sun.extraterrestrial_normal_w_m2[i] * sun.cos_zenith[i]);
        double const dhi = ghi * weather::diffuse_fraction_erbs(kt);
        year.ghi_w_m2[i] = f * ghi;
        year.dhi_w_m2[i] = f * dhi;
        year.dni_w_m2[i] = f * (ghi - dhi) / sun.cos_zenith[i];
    }
    return year;
}

}  // namespace holdwater::test
