#include "weather/decomposition.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/expects.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::weather {

namespace {
/// Cosine of 89 deg. Below it a beam computed from GHI and DHI is noise.
constexpr double lowest_beam_cos_zenith = 0.0175;
}  // namespace

double diffuse_fraction_erbs(double kt) {
    HOLDWATER_EXPECTS(kt >= 0);
    if (kt <= 0.22) return 1 - 0.09 * kt;
    if (kt > 0.80) return 0.165;
    return 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
}

double diffuse_fraction_brl(ClearnessContext const& c) {
    return 1 / (1 + std::exp(-5.38 + 6.63 * c.hourly + 0.006 * c.solar_time_h - 0.007 * c.elevation_deg +
                             1.75 * c.daily + 1.31 * c.persistence));
}

BeamAndDiffuse split(double ghi_w_m2, double diffuse_fraction, double cos_zenith, double sun_up_fraction,
                     double extraterrestrial_normal_w_m2) {
    if (sun_up_fraction <= 0 || cos_zenith < lowest_beam_cos_zenith) return {0, ghi_w_m2};
    double const dni = std::min((1 - diffuse_fraction) * ghi_w_m2 / cos_zenith,
                                extraterrestrial_normal_w_m2 * sun_up_fraction);
    return {dni, ghi_w_m2 - dni * cos_zenith};
}

std::vector<double> hourly_clearness(std::vector<double> const& ghi_w_m2, SunYear const& sun) {
    std::vector<double> kt(ghi_w_m2.size());
    for (std::size_t i = 0; i < kt.size(); ++i) {
        double const outside = sun.extraterrestrial_horizontal_w_m2[i];
        kt[i] = outside > 0 ? ghi_w_m2[i] / outside : 0;
    }
    return kt;
}

std::vector<double> daily_clearness(std::vector<double> const& ghi_w_m2, SunYear const& sun) {
    std::vector<double> daily(ghi_w_m2.size() / 24);
    for (std::size_t day = 0; day < daily.size(); ++day) {
        double received = 0, outside = 0;
        for (std::size_t i = day * 24; i < day * 24 + 24; ++i) {
            received += ghi_w_m2[i];
            outside += sun.extraterrestrial_horizontal_w_m2[i];
        }
        daily[day] = outside > 0 ? received / outside : 0;
    }
    return daily;
}

char const* source_of(DecompositionModel model) {
    return model == DecompositionModel::erbs ? "Erbs, Klein & Duffie 1982" : "Ridley, Boland & Lauret 2010";
}

void decompose(WeatherYear& year, SunYear const& sun, DecompositionModel model,
               std::vector<char> const& wanted) {
    auto const kt = hourly_clearness(year.ghi_w_m2, sun);
    auto const daily = daily_clearness(year.ghi_w_m2, sun);
    for (std::size_t i = 0; i < kt.size(); ++i) {
        if (!wanted.empty() && wanted[i] == 0) continue;
        double fraction = 1;
        if (sun.sun_up_fraction[i] > 0) {
            // Near the horizon the ratio can have any value; the models were fitted for 0 .. 1.
            auto const bounded = [&](std::size_t hour) { return std::clamp(kt[hour], 0.0, 1.0); };
            if (model == DecompositionModel::erbs) {
                fraction = diffuse_fraction_erbs(bounded(i));
            } else {
                bool const before = i % 24 > 0 && sun.sun_up_fraction[i - 1] > 0;
                bool const after = i % 24 < 23 && sun.sun_up_fraction[i + 1] > 0;
                double const persistence = before && after ? 0.5 * (bounded(i - 1) + bounded(i + 1))
                                           : after         ? bounded(i + 1)
                                           : before        ? bounded(i - 1)
                                                           : bounded(i);
                fraction = diffuse_fraction_brl({bounded(i), sun.solar_time_h[i], 90 - sun.zenith_deg[i],
                                                 std::clamp(daily[i / 24], 0.0, 1.0), persistence});
            }
        }
        auto const parts = split(year.ghi_w_m2[i], fraction, sun.cos_zenith[i], sun.sun_up_fraction[i],
                                 sun.extraterrestrial_normal_w_m2[i]);
        year.dni_w_m2[i] = parts.dni_w_m2;
        year.dhi_w_m2[i] = parts.dhi_w_m2;
    }
}

}  // namespace holdwater::weather
