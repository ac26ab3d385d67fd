#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// How the sky's diffuse light is spread when it is turned onto a tilted plane.
enum class TranspositionModel {
    isotropic,   ///< Liu & Jordan 1963, Hottel & Woertz 1942: sky evenly bright; low bound for a sun-facing
                 ///< plane
    hay_davies,  ///< Hay & Davies 1980: circumsolar share DNI/G0n, rest even; smooth, good for sweeps
    perez        ///< Perez, Ineichen, Seals, Michalsky & Stewart, Solar Energy 44 (1990) 271; default
};

/// Tilt from the horizontal (0 flat, 90 upright, up to 180 facing down); azimuth clockwise from north
/// (180 faces south).
struct Plane {
    double tilt_deg = 0;
    double azimuth_deg = 180;
    friend bool operator==(Plane const&, Plane const&) = default;
};

/// Throws std::invalid_argument when tilt is outside 0..180 or azimuth outside -360..360.
void validate(Plane const& plane);

/// The Sun as the transposition sees it.
struct SunForPlane {
    double zenith_deg = 0, azimuth_deg = 0;
    double extraterrestrial_normal_w_m2 = 0;
    double air_mass = 0;  ///< relative, no pressure correction
};

/// Irradiance on the horizontal and normal to the beam, means over the time the sun is up.
struct Irradiance {
    double ghi_w_m2 = 0, dni_w_m2 = 0, dhi_w_m2 = 0;
};

/// Irradiance on the plane by origin; the sum is the plane's total. `circumsolar` is the part of the sky's
/// light that comes from around the Sun and meets glass and obstacles like the beam; `sky` is the rest.
struct PlaneIrradiance {
    double beam_w_m2 = 0, circumsolar_w_m2 = 0, sky_w_m2 = 0, ground_w_m2 = 0;
    double total_w_m2() const { return beam_w_m2 + circumsolar_w_m2 + sky_w_m2 + ground_w_m2; }
};

/// cos q = cos z cos b + sin z sin b cos(A - g); negative when the Sun is behind the plane.
double cos_incidence(double zenith_deg, double azimuth_deg, Plane const& plane);

/// Light on a plane, sun up (z < 90).
///   beam   = DNI max(0, cos q)          ground = GHI rho (1 - cos b)/2
///   isotropic:  sky = DHI (1 + cos b)/2
///   Hay-Davies: sky = DHI [Ai Rb + (1 - Ai)(1 + cos b)/2], Ai = DNI/G0n at most 1, Rb = max(0, cos
///   q)/max(cos z, 0.01745) Perez:      sky = DHI [(1 - F1)(1 + cos b)/2 + F1 a/c + F2 sin b], a = max(0, cos
///   q), c = max(cos 85, cos z),
///               F1, F2 from the all-sites composite set by eps and Del; the whole never below 0.
/// A horizontal plane gets sky = DHI exactly in every model (Perez falls short by a/c for z > 85 otherwise).
/// When the horizon band is negative enough to eat the isotropic part, it eats into the circumsolar one.
PlaneIrradiance transpose(Irradiance const& light, SunForPlane const& sun, Plane const& plane, double albedo,
                          TranspositionModel model);

/// Sky clearness of Perez et al. 1990: eps, its bin 1..8, Del, F1 and F2.
struct PerezSky {
    double clearness = 0, brightness = 0, f1 = 0, f2 = 0;
    int bin = 0;
};
PerezSky perez_sky(double dni_w_m2, double dhi_w_m2, double zenith_deg, double air_mass,
                   double extraterrestrial_normal_w_m2);

/// A year of light on a plane, hour means.
struct PlaneYear {
    std::vector<double> beam_w_m2, circumsolar_w_m2, sky_w_m2, ground_w_m2;
    std::vector<double>
        incidence_deg;  ///< at the middle of the sun-up part; 90 and more: behind the plane or night
    double total_w_m2(std::size_t hour) const {
        return beam_w_m2[hour] + circumsolar_w_m2[hour] + sky_w_m2[hour] + ground_w_m2[hour];
    }
    double total_kwh_m2() const;
};

/// Every hour transposed in sun-up means and turned back into hour means. In hours without sun any light in
/// the file is taken as even diffuse. The file's albedo is used where it has one, else `default_albedo`.
/// Pre: the year is valid and `sun` is that of its site.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, Plane const& plane,
                         TranspositionModel model, double default_albedo = 0.2);

/// The same with a plane of its own in each hour (seasonal tilt, tracking). Pre: planes.size() == 8760.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, std::vector<Plane> const& planes,
                         TranspositionModel model, double default_albedo = 0.2);

}  // namespace holdwater::weather
