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

/// Irradiance on the horizontal and normal to the beam, means over the time the sun is up (light that fell
/// before sunrise or after sunset may be among the diffuse, see transpose).
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

/// Brightest sky the coefficients of Perez et al. are used for: Del = DHI AM/G0n. Their data are said to
/// reach about 0.6 (from memory); the brightest hour lit from end to end in four open typical years has 0.60.
inline constexpr double brightest_sky = 0.7;

/// Light on a plane, sun up (z < 90).
///   beam   = DNI max(0, cos q)          ground = GHI rho (1 - cos b)/2
///   isotropic:  sky = DHI (1 + cos b)/2
///   Hay-Davies: sky = DHI [Ai Rb + (1 - Ai)(1 + cos b)/2], Ai = DNI/G0n at most 1,
///               Rb = max(0, cos q)/max(cos z, 0.01745)
///   Perez:      sky = DHI [(1 - F1)(1 + cos b)/2 + F1 a/c + F2 sin b], a = max(0, cos q),
///               c = max(cos 85, cos z), F1, F2 from the all-sites composite set by eps and Del; never below
///               0.
/// A horizontal plane gets sky = DHI exactly in every model (Perez falls short by a/c for z > 85 otherwise).
/// When the horizon band is negative enough to eat the isotropic part, it eats into the circumsolar one.
///
/// Bounds. They hold what the models say within what they were made for; no usual hour reaches them:
///   - DHI above brightest_sky G0n/AM was not given by the sky of these minutes: it is twilight, from before
///     sunrise or after sunset, and the rest above the bound is even sky. (A file's mean of an hour in which
///     the sun is up for 18 s is mostly that; divided by 18 s/1 h it is no sky any model knows.)
///   - DNI is at most G0n; what is above counts as even sky with its part on the horizontal, (DNI - G0n) cos
///   z.
///   - beam and circumsolar light together are at most G0n facing the sun.
PlaneIrradiance transpose(Irradiance const& light, SunForPlane const& sun, Plane const& plane, double albedo,
                          TranspositionModel model);

/// Sky clearness of Perez et al. 1990: eps, its bin 1..8, Del (at most brightest_sky), F1 (0 .. 1) and F2.
struct PerezSky {
    double clearness = 0, brightness = 0, f1 = 0, f2 = 0;
    int bin = 0;
};
PerezSky perez_sky(double dni_w_m2, double dhi_w_m2, double zenith_deg, double air_mass,
                   double extraterrestrial_normal_w_m2);

/// What was cut in a year because no sun and no sky gives it. Twilight in hours lit in part is not among it.
struct LightBeyond {
    int beam_h = 0;          ///< hours with more beam than comes from outside while the sun is up
    double beam_kwh_m2 = 0;  ///< of it, facing the sun
    int sky_h = 0;           ///< hours lit from end to end with a sky brighter than `brightest_sky`
    friend bool operator==(LightBeyond const&, LightBeyond const&) = default;
};

/// A year of light on a plane, hour means.
struct PlaneYear {
    std::vector<double> beam_w_m2, circumsolar_w_m2, sky_w_m2, ground_w_m2;
    std::vector<double>
        incidence_deg;  ///< at the middle of the sun-up part; 90 and more: behind the plane or night
    LightBeyond beyond;
    double total_w_m2(std::size_t hour) const {
        return beam_w_m2[hour] + circumsolar_w_m2[hour] + sky_w_m2[hour] + ground_w_m2[hour];
    }
    double total_kwh_m2() const;
};

/// Most light that beam, sky and ground can give a plane in an hour, W/m2 mean over the hour, from the light
/// on the horizontal: f G0n max(0, cos q) of beam and circumsolar light, D ((1 + cos b)/2 + 0.56 sin b) of
/// the rest of the sky, GHI rho (1 - cos b)/2 of the ground. f is the part of the hour with the sun up, 0.56
/// the largest F2 of the published set (bin 8, dark sky, z = 90: 0.156 + 0.251 pi/2 = 0.550, rounded up), D =
/// DHI and what is cut off a beam above f G0n. GHI and DHI themselves are held by the reader below the
/// physically possible limits of Long & Dutton, which leave room for clouds that brighten the sky
/// (quality.hpp).
double most_plane_light_w_m2(WeatherYear const& year, SunYear const& sun, std::size_t hour,
                             Plane const& plane, double albedo);

/// Every hour on the plane, hour means.
///
/// A value of a file is the mean over the whole hour. In an hour lit in part (sunrise, sunset) beam falls
/// only while the sun is up: its mean over that part is value/f, f the part of the hour with the sun above
/// the airless horizon, and it is turned at the sun's place in the middle of that part. Diffuse light is
/// turned there as well, also as value/f, as far as a sky of that height of the sun can be that bright; the
/// rest came while the sun was down and is even sky (see transpose). Then the hour's mean is f times the
/// result. In hours without sun any light in the file is taken as even diffuse. The file's albedo is used
/// where it has one, else `default_albedo`. Pre: the year is valid and `sun` is that of its site.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, Plane const& plane,
                         TranspositionModel model, double default_albedo = 0.2);

/// The same with a plane of its own in each hour (seasonal tilt, tracking). Pre: planes.size() == 8760.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, std::vector<Plane> const& planes,
                         TranspositionModel model, double default_albedo = 0.2);

}  // namespace holdwater::weather
