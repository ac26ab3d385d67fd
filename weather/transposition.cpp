#include "weather/transposition.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "weather/angles.hpp"

namespace holdwater::weather {

namespace {

// Perez et al. 1990, all-sites composite set; bin i is upper[i-1] <= eps < upper[i]. The same set is in
// ISO 52010-1. Compared with several independent public reprints of the paper, not with the paper itself.
constexpr double bin_upper[7] = {1.065, 1.230, 1.500, 1.950, 2.800, 4.500, 6.200};
struct PerezRow {
    double f11 = 0, f12 = 0, f13 = 0, f21 = 0, f22 = 0, f23 = 0;
};
constexpr PerezRow perez_table[8] = {
    {-0.008, 0.588, -0.062, -0.060, 0.072, -0.022}, {0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
    {0.330, 0.487, -0.221, 0.055, -0.064, -0.026},  {0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
    {0.873, -0.392, -0.362, 0.226, -0.462, 0.001},  {1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
    {1.060, -1.600, -0.359, 0.264, -1.127, 0.131},  {0.678, -0.327, -0.250, 0.156, -1.377, 0.251}};

constexpr double cos_85_deg = 0.0871557;
constexpr double cos_89_deg = 0.01745;

/// A plane with its sines and cosines.
struct PlaneTerms {
    double sin_tilt, cos_tilt, azimuth_rad;
    bool flat;
    explicit PlaneTerms(Plane const& plane)
        : sin_tilt(sin_deg(plane.tilt_deg)),
          cos_tilt(cos_deg(plane.tilt_deg)),
          azimuth_rad(plane.azimuth_deg * rad_per_deg),
          flat(plane.tilt_deg == 0) {}
    double cos_incidence(double sin_zenith, double cos_zenith, double azimuth_deg) const {
        return cos_zenith * cos_tilt +
               sin_zenith * sin_tilt * std::cos(azimuth_deg * rad_per_deg - azimuth_rad);
    }
};

/// Highest diffuse light on the horizontal at a position of the sun. What is above it fell while the sun was
/// down.
double brightest_diffuse_w_m2(SunForPlane const& sun) {
    return brightest_sky * sun.extraterrestrial_normal_w_m2 / sun.air_mass;
}

PlaneIrradiance on_plane(Irradiance const& light, SunForPlane const& sun, PlaneTerms const& plane,
                         double cos_zenith, double cos_q, double albedo, TranspositionModel model) {
    double const facing = std::max(0.0, cos_q);
    double const view = 0.5 * (1 + plane.cos_tilt);
    double const outside = sun.extraterrestrial_normal_w_m2;
    double const dni = std::min(light.dni_w_m2, outside);
    double even = (light.dni_w_m2 - dni) * cos_zenith;
    PlaneIrradiance out{dni * facing, 0, (light.dhi_w_m2 + even) * view,
                        light.ghi_w_m2 * albedo * 0.5 * (1 - plane.cos_tilt)};
    if (model == TranspositionModel::isotropic || !(light.dhi_w_m2 > 0)) return out;
    double const dhi = std::min(light.dhi_w_m2, brightest_diffuse_w_m2(sun));
    even += light.dhi_w_m2 - dhi;
    // Largest share of the light of the sky that can come from around the sun, given the beam.
    auto const most = [&](double cosine) { return (outside - dni) * cosine / dhi; };
    if (model == TranspositionModel::hay_davies) {
        double const cosine = std::max(cos_zenith, cos_89_deg);
        double const share = std::min(std::clamp(dni / outside, 0.0, 1.0), most(cosine));
        double const ratio = plane.flat ? 1 : facing / cosine;
        out.circumsolar_w_m2 = dhi * share * ratio;
        out.sky_w_m2 = dhi * (1 - share) * view + even * view;
        return out;
    }
    PerezSky const sky = perez_sky(dni, dhi, sun.zenith_deg, sun.air_mass, outside);
    double const cosine = std::max(cos_zenith, cos_85_deg);
    double const f1 = std::min(sky.f1, most(cosine));
    double const ratio = plane.flat ? 1 : facing / cosine;
    out.circumsolar_w_m2 = dhi * f1 * ratio;
    out.sky_w_m2 = dhi * ((1 - f1) * view + sky.f2 * plane.sin_tilt);
    if (out.sky_w_m2 < 0) {
        out.circumsolar_w_m2 = std::max(0.0, out.circumsolar_w_m2 + out.sky_w_m2);
        out.sky_w_m2 = 0;
    }
    out.sky_w_m2 += even * view;
    return out;
}

struct HourWriter {
    WeatherYear const& year;
    SunYear const& sun;
    TranspositionModel model;
    double default_albedo;
    PlaneYear out;

    HourWriter(WeatherYear const& y, SunYear const& s, TranspositionModel m, double albedo)
        : year(y), sun(s), model(m), default_albedo(albedo) {
        for (auto* v :
             {&out.beam_w_m2, &out.circumsolar_w_m2, &out.sky_w_m2, &out.ground_w_m2, &out.incidence_deg})
            v->resize(hours_per_year);
    }

    void hour(std::size_t i, PlaneTerms const& plane) {
        double const albedo = year.albedo.empty() ? default_albedo : year.albedo[i];
        double const f = sun.sun_up_fraction[i];
        if (f <= 0) {
            out.incidence_deg[i] = 90;
            double const light = year.ghi_w_m2[i];
            if (light > 0) {
                out.sky_w_m2[i] = light * 0.5 * (1 + plane.cos_tilt);
                out.ground_w_m2[i] = light * albedo * 0.5 * (1 - plane.cos_tilt);
            }
            return;
        }
        double const cos_zenith = sun.cos_zenith[i];
        double const sin_zenith = std::sqrt(std::max(0.0, 1 - cos_zenith * cos_zenith));
        double const cos_q = plane.cos_incidence(sin_zenith, cos_zenith, sun.azimuth_deg[i]);
        out.incidence_deg[i] = std::acos(std::clamp(cos_q, -1.0, 1.0)) * deg_per_rad;
        Irradiance const light{year.ghi_w_m2[i] / f, year.dni_w_m2[i] / f, year.dhi_w_m2[i] / f};
        SunForPlane const at{sun.zenith_deg[i], sun.azimuth_deg[i], sun.extraterrestrial_normal_w_m2[i],
                             sun.air_mass[i]};
        note(light, at, f);
        auto const part = on_plane(light, at, plane, cos_zenith, cos_q, albedo, model);
        out.beam_w_m2[i] = part.beam_w_m2 * f;
        out.circumsolar_w_m2[i] = part.circumsolar_w_m2 * f;
        out.sky_w_m2[i] = part.sky_w_m2 * f;
        out.ground_w_m2[i] = part.ground_w_m2 * f;
    }

    /// Counts what on_plane removes. A beam that the reader repaired is at the limit except for rounding.
    void note(Irradiance const& light, SunForPlane const& at, double f) {
        constexpr double rounding = 1e-9;
        double const over_w_m2 = light.dni_w_m2 - at.extraterrestrial_normal_w_m2;
        if (over_w_m2 > rounding * at.extraterrestrial_normal_w_m2) {
            ++out.beyond.beam_h;
            out.beyond.beam_kwh_m2 += over_w_m2 * f / 1000;
        }
        bool const lit_throughout = f > 1 - rounding;
        if (lit_throughout && model != TranspositionModel::isotropic &&
            light.dhi_w_m2 > brightest_diffuse_w_m2(at))
            ++out.beyond.sky_h;
    }
};

}  // namespace

void validate(Plane const& plane) {
    if (!(plane.tilt_deg >= 0 && plane.tilt_deg <= 180))
        throw std::invalid_argument(fmt::format("tilt_deg = {} (must be 0 .. 180)", plane.tilt_deg));
    if (!(plane.azimuth_deg >= -360 && plane.azimuth_deg <= 360))
        throw std::invalid_argument(fmt::format("azimuth_deg = {} (must be -360 .. 360)", plane.azimuth_deg));
}

double cos_incidence(double zenith_deg, double azimuth_deg, Plane const& plane) {
    return PlaneTerms(plane).cos_incidence(sin_deg(zenith_deg), cos_deg(zenith_deg), azimuth_deg);
}

PerezSky perez_sky(double dni_w_m2, double dhi_w_m2, double zenith_deg, double air_mass,
                   double extraterrestrial_normal_w_m2) {
    double const z = zenith_deg * rad_per_deg;
    double const z3 = 1.041 * z * z * z;
    PerezSky sky{};
    sky.clearness = ((dhi_w_m2 + dni_w_m2) / dhi_w_m2 + z3) / (1 + z3);
    sky.brightness = std::min(dhi_w_m2 * air_mass / extraterrestrial_normal_w_m2, brightest_sky);
    while (sky.bin < 7 && sky.clearness >= bin_upper[sky.bin]) ++sky.bin;
    PerezRow const& row = perez_table[sky.bin++];
    sky.f1 = std::clamp(row.f11 + row.f12 * sky.brightness + row.f13 * z, 0.0, 1.0);
    sky.f2 = row.f21 + row.f22 * sky.brightness + row.f23 * z;
    return sky;
}

PlaneIrradiance transpose(Irradiance const& light, SunForPlane const& sun, Plane const& plane, double albedo,
                          TranspositionModel model) {
    PlaneTerms const terms(plane);
    double const cos_zenith = cos_deg(sun.zenith_deg);
    double const cos_q = terms.cos_incidence(sin_deg(sun.zenith_deg), cos_zenith, sun.azimuth_deg);
    return on_plane(light, sun, terms, cos_zenith, cos_q, albedo, model);
}

double most_plane_light_w_m2(WeatherYear const& year, SunYear const& sun, std::size_t i, Plane const& plane,
                             double albedo) {
    PlaneTerms const terms(plane);
    constexpr double largest_f2 = 0.56;
    double const f = sun.sun_up_fraction[i], cos_zenith = sun.cos_zenith[i];
    double direct = 0, diffuse = f > 0 ? year.dhi_w_m2[i] : year.ghi_w_m2[i];
    if (f > 0) {
        double const outside = f * sun.extraterrestrial_normal_w_m2[i];
        double const sin_zenith = std::sqrt(std::max(0.0, 1 - cos_zenith * cos_zenith));
        direct = outside * std::max(0.0, terms.cos_incidence(sin_zenith, cos_zenith, sun.azimuth_deg[i]));
        diffuse += std::max(0.0, year.dni_w_m2[i] - outside) * cos_zenith;
    }
    return direct + diffuse * (0.5 * (1 + terms.cos_tilt) + largest_f2 * terms.sin_tilt) +
           year.ghi_w_m2[i] * albedo * 0.5 * (1 - terms.cos_tilt);
}

double PlaneYear::total_kwh_m2() const {
    double sum = 0;
    for (std::size_t hour = 0; hour < beam_w_m2.size(); ++hour) sum += total_w_m2(hour);
    return sum / 1000;
}

PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, Plane const& plane,
                         TranspositionModel model, double default_albedo) {
    validate(plane);
    HourWriter writer(year, sun, model, default_albedo);
    PlaneTerms const terms(plane);
    for (std::size_t i = 0; i < hours_per_year; ++i) writer.hour(i, terms);
    return std::move(writer.out);
}

PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, std::vector<Plane> const& planes,
                         TranspositionModel model, double default_albedo) {
    if (planes.size() != hours_per_year) throw std::invalid_argument("planes must hold 8760 hours");
    HourWriter writer(year, sun, model, default_albedo);
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        validate(planes[i]);
        writer.hour(i, PlaneTerms(planes[i]));
    }
    return std::move(writer.out);
}

}  // namespace holdwater::weather
