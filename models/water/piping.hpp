#pragma once

#include <vector>

#include "models/water/water_properties.hpp"

namespace holdwater::models {

enum class FrictionLaw { darcy_weisbach, hazen_williams };

/// A length of pipe of one bore with its fittings. K is the sum of the loss coefficients of the fittings
/// (h = K v^2 / 2g). Roughness: plastic and drawn tube 1.5e-6 m, commercial steel 4.5e-5 m, galvanized 1.5e-4
/// m (Moody 1944, from memory). C: plastic 140..150, copper 130..140, galvanized 100..120 (handbook values,
/// from memory).
struct PipeSegment {
    double length_m = 0;
    double inside_diameter_m = 0;
    double roughness_m = 1.5e-6;
    double hazen_williams_c = 150;
    double minor_loss_k = 0;
};

/// Smallest bore for which the Hazen-Williams formula is reliable: 2 in.
inline constexpr double hazen_williams_least_bore_m = 0.0508;

/// Pipes in series between the pump and the pressure tank. Empty: no loss.
struct PipingParameters {
    std::vector<PipeSegment> segments;
    FrictionLaw law = FrictionLaw::darcy_weisbach;
};

void validate(PipeSegment const& s);
void validate(PipingParameters const& p);

/// Darcy friction factor. Re < 2300: 64/Re. Re > 4000: Colebrook (1939), solved to machine accuracy. Between
/// these it is linear in Re, a convention that keeps the loss continuous and rising; real flow is unstable
/// there. `relative_roughness` = roughness / bore, 0..0.05.
double friction_factor(double reynolds, double relative_roughness);

inline double velocity_m_s(double flow_m3_s, double inside_diameter_m) {
    return flow_m3_s / (0.78539816339744830962 * inside_diameter_m * inside_diameter_m);
}
double reynolds_number(double flow_m3_s, double inside_diameter_m, Water const& water);

/// h = f (L/D) v^2/(2g), m.
double darcy_weisbach_loss_m(PipeSegment const& s, double flow_m3_s, Water const& water);
/// h = 10.67 L Q^1.852 / (C^1.852 D^4.8704), m. For turbulent water near 16 degC, and strictly only for bores
/// above 50 mm and v below 3 m/s. In small smooth pipe the result is too low: at C 150, compared with
/// Darcy-Weisbach, by 8 % at 10 gpm in a 1 in bore and by 15..30 % at low flow. It was reported to this
/// project that it is 7 to 27 % below three published tables for small pipe (these tables were not read
/// here).
double hazen_williams_loss_m(PipeSegment const& s, double flow_m3_s);
double minor_loss_m(PipeSegment const& s, double flow_m3_s);

/// Loss in the pipes and fittings of the whole run, m; 0 at flow 0. Flow >= 0.
double piping_loss_m(PipingParameters const& p, double flow_m3_s, Water const& water);

}  // namespace holdwater::models
