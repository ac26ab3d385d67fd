#pragma once

#include <algorithm>

namespace holdwater::models {

enum class ModuleModel { linear, single_diode };

/// Linear module: P = P_stc (G/1000) (1 + gamma (Tc - 25)), G the light the cells get (after soiling, shading
/// and incidence modifier). gamma typical -0.0034 .. -0.0040 1/K for crystalline silicon, -0.0026 .. -0.0030
/// for heterojunction and thin film (common practice, no source). Never negative. Leaves out: the shortfall
/// in weak light (2-4 % at 200 W/m2), which the single-diode module has; spectrum.
struct LinearModule {
    double rated_power_w = 400.0;  // at 1000 W/m2 and 25 C cell; 0: no module
    double gamma_per_k = -0.0037;  // -0.01 .. 0
    friend bool operator==(LinearModule const&, LinearModule const&) = default;
};

void validate(LinearModule const&);

inline double linear_module_power_w(LinearModule const& m, double effective_w_m2, double cell_c) {
    return std::max(0.0,
                    m.rated_power_w * (effective_w_m2 / 1000.0) * (1.0 + m.gamma_per_k * (cell_c - 25.0)));
}

/// What is left of the rated power after `years` of service: max(0, 1 - rate x years), straight line on the
/// first rating. Median rate 0.005 per year (Jordan & Kurtz 2013, from memory). Never above 1.
inline double age_factor(double rate_per_year, double years) {
    return std::clamp(1.0 - rate_per_year * years, 0.0, 1.0);
}

}  // namespace holdwater::models
