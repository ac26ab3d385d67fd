#include "models/generator/generator.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(GeneratorParameters const& p) {
    require(p.rated_power_w > 0 && std::isfinite(p.rated_power_w), "rated_power_w", p.rated_power_w,
            "must be above 0");
    require(p.fuel_a_l_per_h_kw >= 0, "fuel_a_l_per_h_kw", p.fuel_a_l_per_h_kw, "must be >= 0");
    require(p.fuel_b_l_per_kwh > 0, "fuel_b_l_per_kwh", p.fuel_b_l_per_kwh, "must be above 0");
    require(p.least_load_fraction >= 0 && p.least_load_fraction < 1, "least_load_fraction",
            p.least_load_fraction, "must be at least 0 and below 1");
    require(p.power_factor > 0 && p.power_factor <= 1, "power_factor", p.power_factor,
            "must be above 0 and at most 1");
    require(std::isfinite(p.derate_height_m), "derate_height_m", p.derate_height_m,
            "must be a number of meters");
    require(std::isfinite(p.derate_temperature_c), "derate_temperature_c", p.derate_temperature_c,
            "must be a number of degrees Celsius");
    require(p.derate_per_300_m >= 0 && p.derate_per_300_m < 0.2, "derate_per_300_m", p.derate_per_300_m,
            "must be at least 0 and below 0.2: 3.5 % is 0.035");
    require(p.derate_per_5p6_k >= 0 && p.derate_per_5p6_k < 0.2, "derate_per_5p6_k", p.derate_per_5p6_k,
            "must be at least 0 and below 0.2: 1 % is 0.01");
    require(p.fuel_tank_l >= 0, "fuel_tank_l", p.fuel_tank_l, "must be >= 0; 0 means not limited");
    auto const& table = p.fuel_table;
    if (table.empty()) return;
    require(table.size() >= 2, "fuel_table", static_cast<double>(table.size()),
            "must have two or more points");
    for (std::size_t i = 0; i < table.size(); ++i) {
        auto const& [output_w, l_per_h] = table[i];
        require(output_w >= 0 && std::isfinite(output_w) && (i == 0 || output_w > table[i - 1].output_w),
                "fuel_table", output_w, "outputs must be >= 0 and rise from point to point");
        require(l_per_h > 0 && std::isfinite(l_per_h) && (i == 0 || l_per_h > table[i - 1].l_per_h),
                "fuel_table", l_per_h, "rates must be above 0 and rise from point to point");
    }
    require(fuel_l_per_h(p, 0) >= 0, "fuel_table", fuel_l_per_h(p, 0),
            "its first line goes below 0 L/h at no output");
}

double site_power_w(GeneratorParameters const& p, double height_m, double temperature_c) {
    double const height = 1 - p.derate_per_300_m * std::max(0.0, height_m - p.derate_height_m) / 300;
    double const heat = 1 - p.derate_per_5p6_k * std::max(0.0, temperature_c - p.derate_temperature_c) / 5.6;
    return p.rated_power_w * std::max(0.0, height) * std::max(0.0, heat);
}

}  // namespace holdwater::models
