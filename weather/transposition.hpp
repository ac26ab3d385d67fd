#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// How the diffuse light of the sky is distributed when it is converted to a tilted plane.
enum class TranspositionModel {
    isotropic,   ///< Liu & Jordan 1963, Hottel & Woertz 1942: evenly bright sky; a low estimate for a plane
                 ///< that faces the sun
    hay_davies,  ///< Hay & Davies 1980: circumsolar share DNI/G0n, the rest even; smooth, good for sweeps
    perez        ///< Perez, Ineichen, Seals, Michalsky & Stewart, Solar Energy 44 (1990) 271; default
};

/// Tilt from the horizontal (0 flat, 90 upright, up to 180 facing down); azimuth clockwise from north
/// (180 faces south).
struct Plane {
    double tilt_deg = 0;
    double azimuth_deg = 180;
    friend bool operator==(Plane const&, Plane const&) = default;
};

/// Throws std::invalid_argument if the tilt is outside 0..180 or the azimuth outside -360..360.
void validate(Plane const& plane);

/// Sun data for the conversion to a plane.
struct SunForPlane {
    double zenith_deg = 0, azimuth_deg = 0;
    double extraterrestrial_normal_w_m2 = 0;
    double air_mass = 0;  ///< relative, no pressure correction
};

/// Irradiance on the horizontal and normal to the beam, as means over the time in which the sun is up.
/// Diffuse light may include light from before sunrise or after sunset (see transpose).
struct Irradiance {
    double ghi_w_m2 = 0, dni_w_m2 = 0, dhi_w_m2 = 0;
};

/// Irradiance on the plane by origin; the sum is the total. `circumsolar` is the light of the sky around the
/// sun, for which glass and obstacles act as for the beam; `sky` is the rest of the light of the sky.
struct PlaneIrradiance {
    double beam_w_m2 = 0, circumsolar_w_m2 = 0, sky_w_m2 = 0, ground_w_m2 = 0;
    double total_w_m2() const { return beam_w_m2 + circumsolar_w_m2 + sky_w_m2 + ground_w_m2; }
};

/// cos q = cos z cos b + sin z sin b cos(A - g); negative if the sun is behind the plane.
double cos_incidence(double zenith_deg, double azimuth_deg, Plane const& plane);

/// Brightest sky for which the coefficients of Perez et al. are used: Del = DHI AM/G0n. Their data reach
/// about 0.6 (from memory). The brightest hour in four open typical years, among those in which the sun is up
/// from beginning to end, has 0.60.
inline constexpr double brightest_sky = 0.7;

/// Light on a plane while the sun is up (z < 90).
///   beam   = DNI max(0, cos q)          ground = GHI rho (1 - cos b)/2
///   isotropic:  sky = DHI (1 + cos b)/2
///   Hay-Davies: sky = DHI [Ai Rb + (1 - Ai)(1 + cos b)/2], Ai = DNI/G0n at most 1,
///               Rb = max(0, cos q)/max(cos z, 0.01745)
///   Perez:      sky = DHI [(1 - F1)(1 + cos b)/2 + F1 a/c + F2 sin b], a = max(0, cos q),
///               c = max(cos 85, cos z), F1, F2 from the all-sites composite set by eps and Del; never below
///               0.
/// A horizontal plane gets exactly sky = DHI in every model (otherwise the result by Perez would be too low
/// because of a/c for z > 85). If the horizon band is more negative than the isotropic part, the rest is
/// subtracted from the circumsolar part.
///
/// The results are limited, so that the models are not used beyond their range; no usual hour reaches a
/// limit:
///   - DHI above brightest_sky G0n/AM does not come from the sky while the sun is up. It is twilight from
///     before sunrise or after sunset, and what is above the limit counts as even sky. (In an hour with 18 s
///     of sun, most of the hourly mean is twilight; divided by 18 s/1 h it would be brighter than any sky.)
///   - DNI is at most G0n. What is above counts as even sky with its part on the horizontal,
///     (DNI - G0n) cos z.
///   - Beam and circumsolar light together are at most G0n on a plane that faces the sun.
PlaneIrradiance transpose(Irradiance const& light, SunForPlane const& sun, Plane const& plane, double albedo,
                          TranspositionModel model);

/// Sky clearness of Perez et al. 1990: eps, its bin 1..8, Del (at most brightest_sky), F1 (0 .. 1) and F2.
struct PerezSky {
    double clearness = 0, brightness = 0, f1 = 0, f2 = 0;
    int bin = 0;
};
PerezSky perez_sky(double dni_w_m2, double dhi_w_m2, double zenith_deg, double air_mass,
                   double extraterrestrial_normal_w_m2);

/// Light that was removed in a year because it is beyond the limits. It does not include twilight in hours in
/// which the sun rises or sets.
struct LightBeyond {
    int beam_h = 0;          ///< hours with more beam than outside the atmosphere while the sun is up
    double beam_kwh_m2 = 0;  ///< amount of it, facing the sun
    int sky_h = 0;           ///< hours with the sun up all hour and a sky brighter than `brightest_sky`
    friend bool operator==(LightBeyond const&, LightBeyond const&) = default;
};

/// A year of light on a plane, as hourly means.
struct PlaneYear {
    std::vector<double> beam_w_m2, circumsolar_w_m2, sky_w_m2, ground_w_m2;
    std::vector<double>
        incidence_deg;  ///< in the middle of the sun-up part; 90 and more: behind the plane or night
    LightBeyond beyond;
    double total_w_m2(std::size_t hour) const {
        return beam_w_m2[hour] + circumsolar_w_m2[hour] + sky_w_m2[hour] + ground_w_m2[hour];
    }
    double total_kwh_m2() const;
};

/// Highest light that a plane can get in an hour, W/m2 as mean over the hour, from the light on the
/// horizontal: f G0n max(0, cos q) from beam and circumsolar light, D ((1 + cos b)/2 + 0.56 sin b) from the
/// rest of the sky, GHI rho (1 - cos b)/2 from the ground. f is the part of the hour with the sun up. 0.56 is
/// the largest F2 of the published set (bin 8, dark sky, z = 90: 0.156 + 0.251 pi/2 = 0.550, rounded up). D
/// is DHI plus what is removed from a beam above f G0n. The reader keeps GHI and DHI below the physically
/// possible limits of Long & Dutton, which allow for clouds that brighten the sky (quality.hpp).
double most_plane_light_w_m2(WeatherYear const& year, SunYear const& sun, std::size_t hour,
                             Plane const& plane, double albedo);

/// Light on the plane in every hour, as hourly means.
///
/// A value in a file is the mean over the whole hour. In an hour of sunrise or sunset there is beam only
/// while the sun is up. Its mean over that part is value/f, where f is the part of the hour with the sun
/// above the horizon (without air), and it is converted with the position of the sun in the middle of that
/// part. Diffuse light is converted in the same way, also as value/f, up to the highest brightness of the sky
/// at that elevation of the sun. The rest fell while the sun was down and counts as even sky (see transpose).
/// The mean of the hour is f times the result. In hours without sun, any light in the file counts as even
/// diffuse light. The albedo of the file is used if it has one, otherwise `default_albedo`. Pre: the year is
/// valid and `sun` is that of its site.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, Plane const& plane,
                         TranspositionModel model, double default_albedo = 0.2);

/// The same with a separate plane in each hour (seasonal tilt, tracking). Pre: planes.size() == 8760.
PlaneYear plane_of_array(WeatherYear const& year, SunYear const& sun, std::vector<Plane> const& planes,
                         TranspositionModel model, double default_albedo = 0.2);

}  // namespace holdwater::weather
