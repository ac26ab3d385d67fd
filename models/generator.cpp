#include "models/generator.hpp"

#include <algorithm>
#include <cmath>

#include "models/parameter_error.hpp"

namespace holdwater::models {

void validate(GeneratorParameters const& p) {
    require(p.rated_power_w > 0 && std::isfinite(p.rated_power_w), "rated_power_w", p.rated_power_w,
            "must be above 0");
    require(p.fuel_a_l_per_h_kw >= 0, "fuel_a_l_per_h_kw", p.fuel_a_l_per_h_kw, "must be >= 0");
    require(p.fuel_b_l_per_kwh > 0, "fuel_b_l_per_kwh", p.fuel_b_l_per_kwh, "must be above 0");
    require(p.min_load_ratio >= 0 && p.min_load_ratio < 1, "min_load_ratio", p.min_load_ratio,
            "must be at least 0 and below 1");
    require(p.power_factor > 0 && p.power_factor <= 1, "power_factor", p.power_factor,
            "must be above 0 and at most 1");
    require(p.derate_per_300_m >= 0 && p.derate_per_300_m < 0.2, "derate_per_300_m", p.derate_per_300_m,
            "must be at least 0 and below 0.2: 3.5 % is 0.035");
    require(p.derate_per_5p6_k >= 0 && p.derate_per_5p6_k < 0.2, "derate_per_5p6_k", p.derate_per_5p6_k,
            "must be at least 0 and below 0.2: 1 % is 0.01");
    require(p.fuel_tank_l >= 0, "fuel_tank_l", p.fuel_tank_l, "must be >= 0; 0 means not limited");
}

double site_power_w(GeneratorParameters const& p, double height_m, double temperature_c) {
    double const height = 1 - p.derate_per_300_m * std::max(0.0, height_m - p.derate_height_m) / 300;
    double const heat = 1 - p.derate_per_5p6_k * std::max(0.0, temperature_c - p.derate_temperature_c) / 5.6;
    return p.rated_power_w * std::max(0.0, height) * std::max(0.0, heat);
}

}  // namespace holdwater::models
