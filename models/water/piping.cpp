#include "models/water/piping.hpp"

#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <tuple>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

double colebrook(double reynolds, double relative_roughness) {
    double const rough = relative_roughness / 3.7, smooth = 2.51 / reynolds, k = 2 / std::log(10.0);
    auto const residual = [&](double x) {
        double const arg = rough + smooth * x;
        return std::make_tuple(x + k * std::log(arg), 1 + k * smooth / arg);
    };
    // x = 1/sqrt(f). Start from Haaland (1983), which is within 2 %.
    double const start = -1.8 * std::log10(std::pow(rough, 1.11) + 6.9 / reynolds);
    std::uintmax_t steps = 20;
    double const x = boost::math::tools::newton_raphson_iterate(residual, start, 1.0, 50.0, 50, steps);
    return 1 / (x * x);
}

}  // namespace

void validate(PipeSegment const& s) {
    require(s.length_m >= 0 && s.length_m <= 10000, "length_m", s.length_m, "must be 0..10000 m");
    require(s.inside_diameter_m >= 0.005 && s.inside_diameter_m <= 0.5, "inside_diameter_m",
            s.inside_diameter_m, "must be 0.005..0.5 m: the bore, not the nominal size");
    require(s.roughness_m >= 0 && s.roughness_m <= 0.05 * s.inside_diameter_m, "roughness_m", s.roughness_m,
            "must be 0 .. 5 % of the bore; plastic 1.5e-6, galvanized 1.5e-4");
    require(s.hazen_williams_c >= 40 && s.hazen_williams_c <= 160, "hazen_williams_c", s.hazen_williams_c,
            "must be 40..160; plastic 150, old galvanized 100");
    require(s.minor_loss_k >= 0 && s.minor_loss_k <= 1000, "minor_loss_k", s.minor_loss_k, "must be 0..1000");
}

void validate(PipingParameters const& p) {
    for (auto const& s : p.segments) validate(s);
}

double friction_factor(double reynolds, double relative_roughness) {
    constexpr double laminar_below = 2300, turbulent_above = 4000;
    if (reynolds <= laminar_below) return 64 / reynolds;
    if (reynolds >= turbulent_above) return colebrook(reynolds, relative_roughness);
    double const low = 64 / laminar_below, high = colebrook(turbulent_above, relative_roughness);
    return low + (high - low) * (reynolds - laminar_below) / (turbulent_above - laminar_below);
}

double reynolds_number(double flow_m3_s, double d, Water const& water) {
    return velocity_m_s(flow_m3_s, d) * d * water.density_kg_m3 / water.viscosity_pa_s;
}

double darcy_weisbach_loss_m(PipeSegment const& s, double flow_m3_s, Water const& water) {
    if (flow_m3_s <= 0) return 0;
    double const re = reynolds_number(flow_m3_s, s.inside_diameter_m, water);
    double const v = velocity_m_s(flow_m3_s, s.inside_diameter_m);
    return friction_factor(re, s.roughness_m / s.inside_diameter_m) * s.length_m / s.inside_diameter_m * v *
           v / (2 * gravity_m_s2);
}

double hazen_williams_loss_m(PipeSegment const& s, double flow_m3_s) {
    if (flow_m3_s <= 0) return 0;
    return 10.67 * s.length_m * std::pow(flow_m3_s / s.hazen_williams_c, 1.852) /
           std::pow(s.inside_diameter_m, 4.8704);
}

double minor_loss_m(PipeSegment const& s, double flow_m3_s) {
    double const v = velocity_m_s(flow_m3_s, s.inside_diameter_m);
    return s.minor_loss_k * v * v / (2 * gravity_m_s2);
}

double piping_loss_m(PipingParameters const& p, double flow_m3_s, Water const& water) {
    double sum = 0;
    for (auto const& s : p.segments)
        sum += (p.law == FrictionLaw::darcy_weisbach ? darcy_weisbach_loss_m(s, flow_m3_s, water)
                                                     : hazen_williams_loss_m(s, flow_m3_s)) +
               minor_loss_m(s, flow_m3_s);
    return sum;
}

}  // namespace holdwater::models
