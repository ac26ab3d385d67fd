#pragma once

#include <algorithm>
#include <cmath>

namespace holdwater::models {

enum class ModuleModel { linear, single_diode };

/// Relative efficiency at 200 W/m2 of a module whose data sheet does not give it. The single-diode model of
/// De Soto, Klein & Beckman 2006 gives 0.983, 0.984 and 0.988 for three invented modules (computed here, test
/// models/pv_module); data sheets of crystalline modules commonly say 0.96 to 0.98 (from memory, no source).
inline constexpr double usual_low_light_efficiency = 0.98;

/// Linear module: P = P_stc (G/1000) k(G) (1 + gamma (Tc - 25)), where G is the light that the cells get
/// (after soiling, shading and incidence modifier). gamma is typically -0.0034 .. -0.0040 1/K for crystalline
/// silicon, and -0.0026 .. -0.0030 for heterojunction and thin film (common practice, no source). Never
/// negative.
/// k(G) = 1 - (1 - r) (ln(G/1000)/ln(0.2))^2, never below 0, is the loss in weak light. r is the efficiency
/// at 200 W/m2 and 25 C divided by that at 1000 W/m2. It is on some data sheets, or it follows from the power
/// at 200 W/m2 by IEC 61853-1: P(200)/(0.2 P(1000)). The square of the logarithm is our own form: with the r
/// of a single-diode module it differs from that module by at most 1.6 % from 100 to 1000 W/m2 and by 3.3 %
/// at 50 W/m2, for three modules (test models/pv_module). r = 1 means no loss. Leaves out: spectrum.
struct LinearModule {
    double rated_power_w = 400.0;                              // at 1000 W/m2 and 25 C cell; 0: no module
    double gamma_per_k = -0.0037;                              // -0.01 .. 0
    double low_light_efficiency = usual_low_light_efficiency;  // r, 0.7 .. 1
    friend bool operator==(LinearModule const&, LinearModule const&) = default;
};

void validate(LinearModule const&);

/// k(G), 0 .. 1. It is 1 at 1000 W/m2, and at any light if low_light_efficiency is 1.
inline double low_light_factor(LinearModule const& m, double effective_w_m2) {
    constexpr double ln_200_over_1000 = -1.6094379124341003;
    double const x = std::log(std::max(effective_w_m2, 1e-3) / 1000.0) / ln_200_over_1000;
    return std::max(0.0, 1.0 - (1.0 - m.low_light_efficiency) * x * x);
}

inline double linear_module_power_w(LinearModule const& m, double effective_w_m2, double cell_c) {
    return std::max(0.0, m.rated_power_w * (effective_w_m2 / 1000.0) * low_light_factor(m, effective_w_m2) *
                             (1.0 + m.gamma_per_k * (cell_c - 25.0)));
}

/// Share of the rated power that is left after `years` of service: max(0, 1 - rate x years), a straight line
/// from the first rating. Median rate 0.005 per year (Jordan & Kurtz 2013, from memory). Never above 1.
inline double age_factor(double rate_per_year, double years) {
    return std::clamp(1.0 - rate_per_year * years, 0.0, 1.0);
}

}  // namespace holdwater::models
