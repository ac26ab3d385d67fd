#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

namespace holdwater::models {

enum class IncidenceModel { none, ashrae, fresnel };

/// Share of the light on the module cover that reaches the cells, relative to normal incidence.
///
/// ashrae    IAM = max(0, 1 - b0 (1/cos q - 1)); Souka & Safwat 1966, ASHRAE standard 93. b0 = 0.05 for plain
///           glass is common practice, no source. With it IAM is 0 from 87.3 deg on.
/// fresnel   IAM = tau(q)/tau(0), tau = exp(-K L/cos qr) (1 - (r_s + r_p)/2), sin qr = sin q / n, with the
///           Fresnel reflections at the outer face; De Soto, Klein & Beckman 2006 (from memory):
///           r_s = ((cos q - n cos qr)/(cos q + n cos qr))^2, r_p = ((n cos q - cos qr)/(n cos q + cos
///           qr))^2. The printed form with sin^2 and tan^2 of qr -/+ q is equal, but divides 0 by 0 at q = 0.
///           coating_index > 1 adds an anti-reflective layer (usual value 1.3, from memory): two faces, air
///           to layer and layer to glass, without interference. IAM is then relative to the tau(0) with
///           layer.
/// Diffuse light: the same curve at the effective angles of Brandemuehl & Beckman 1980 (from memory).
/// Holds for flat glass covers. Leaves out: effect of the angle on dirt, spectrum, polarization, light from
/// behind. Angles in degrees. Error of the effective-angle rule: +0.3 % for a horizontal plane and an
/// isotropic sky.
struct IncidenceParameters {
    IncidenceModel model = IncidenceModel::fresnel;
    double ashrae_b0 = 0.05;           // 0 .. 0.3
    double glass_index = 1.526;        // 1 < n <= 2.5
    double extinction_per_m = 4.0;     // 0 .. 100
    double glass_thickness_m = 0.002;  // 0 .. 0.02
    double coating_index = 0.0;        // 0 = no coating; else 1 .. glass_index
    friend bool operator==(IncidenceParameters const&, IncidenceParameters const&) = default;
};

void validate(IncidenceParameters const&);

/// Share transmitted at one face, for light that goes from index 1 into index `n` (relative); cosines of the
/// angles outside and inside.
inline double fresnel_transmission(double cos_in, double cos_out, double n) {
    double const s = (cos_in - n * cos_out) / (cos_in + n * cos_out);
    double const p = (n * cos_in - cos_out) / (n * cos_in + cos_out);
    return 1.0 - 0.5 * (s * s + p * p);
}

/// Transmission of the cover at the cosine of the angle of incidence (0 < cos_incidence <= 1).
inline double cover_transmission(IncidenceParameters const& p, double cos_incidence) {
    double const sin2 = 1.0 - cos_incidence * cos_incidence;
    double const n = p.glass_index;
    double const cos_glass = std::sqrt(1.0 - sin2 / (n * n));
    double faces = 0.0;
    if (p.coating_index > 1.0) {
        double const cos_coat = std::sqrt(1.0 - sin2 / (p.coating_index * p.coating_index));
        faces = fresnel_transmission(cos_incidence, cos_coat, p.coating_index) *
                fresnel_transmission(cos_coat, cos_glass, n / p.coating_index);
    } else {
        faces = fresnel_transmission(cos_incidence, cos_glass, n);
    }
    return std::exp(-p.extinction_per_m * p.glass_thickness_m / cos_glass) * faces;
}

/// 1 at 0 deg, 0 at 90 deg and more. Never negative.
inline double incidence_modifier(IncidenceParameters const& p, double incidence_deg) {
    if (p.model == IncidenceModel::none) return incidence_deg < 90.0 ? 1.0 : 0.0;
    if (!(incidence_deg < 90.0)) return 0.0;
    double const c = std::cos(incidence_deg * (std::numbers::pi / 180.0));
    if (c <= 0.0) return 0.0;
    if (p.model == IncidenceModel::ashrae) return std::max(0.0, 1.0 - p.ashrae_b0 * (1.0 / c - 1.0));
    return cover_transmission(p, c) / cover_transmission(p, 1.0);
}

/// Effective angle of incidence of sky and of ground light on a plane tilted `tilt_deg` (0 .. 90).
inline double sky_effective_angle_deg(double tilt_deg) {
    return 59.7 - 0.1388 * tilt_deg + 0.001497 * tilt_deg * tilt_deg;
}
inline double ground_effective_angle_deg(double tilt_deg) {
    return 90.0 - 0.5788 * tilt_deg + 0.002693 * tilt_deg * tilt_deg;
}

inline double sky_incidence_modifier(IncidenceParameters const& p, double tilt_deg) {
    return incidence_modifier(p, sky_effective_angle_deg(tilt_deg));
}
/// A horizontal plane gets no light from the ground, and the modifier is 0 there, for IncidenceModel::none
/// too.
inline double ground_incidence_modifier(IncidenceParameters const& p, double tilt_deg) {
    return incidence_modifier(p, ground_effective_angle_deg(tilt_deg));
}

}  // namespace holdwater::models
