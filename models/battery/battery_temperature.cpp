#include "models/battery/battery_temperature.hpp"

#include <algorithm>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(BatteryThermalParameters const& p) {
    require(p.time_constant_h >= 0 && std::isfinite(p.time_constant_h), "time_constant_h", p.time_constant_h,
            "must be >= 0");
    require(
        p.heater_w == 0 || p.time_constant_h >= 0.1, "time_constant_h", p.time_constant_h,
        "must be at least 0.1 with a heater: a battery without inertia would switch its heater without end");
    require(p.heater_w >= 0, "heater_w", p.heater_w, "must be >= 0");
    require(p.heater_rise_k_per_w >= 0 && p.heater_rise_k_per_w < 10, "heater_rise_k_per_w",
            p.heater_rise_k_per_w, "must be at least 0 and below 10");
    require(p.heater_w == 0 || p.heater_rise_k_per_w > 0, "heater_rise_k_per_w", p.heater_rise_k_per_w,
            "must be above 0 when there is a heater: else it uses energy and warms nothing");
    require(p.heater_off_above_c > p.heater_on_below_c, "heater_off_above_c", p.heater_off_above_c,
            "must be above heater_on_below");
}

void validate(ChargeTemperatureRule const& r) {
    require(r.resume_above_c >= r.refuse_below_c, "resume_above_c", r.resume_above_c,
            "must not be below refuse_below_c");
    require(r.resume_below_c <= r.refuse_above_c, "resume_below_c", r.resume_below_c,
            "must not be above refuse_above_c");
    require(r.resume_above_c < r.resume_below_c, "resume_above_c", r.resume_above_c,
            "must be below resume_below_c: else charge never resumes");
    require(r.slow_rate_per_h > 0, "slow_rate_per_h", r.slow_rate_per_h, "must be above 0");
}

ChargeTemperatureRule lithium_iron_phosphate_charge_rule() { return {0, 4, 50, 45, 10, 0.15}; }

void validate(std::vector<CapacityAtTemperature> const& table) {
    for (std::size_t i = 0; i < table.size(); ++i) {
        require(table[i].factor > 0 && table[i].factor <= 1.1, "capacity factor", table[i].factor,
                "must be above 0 and at most 1.1");
        require(i == 0 || table[i].temperature_c > table[i - 1].temperature_c, "capacity temperature_c",
                table[i].temperature_c, "must rise from row to row");
    }
}

double capacity_factor(std::vector<CapacityAtTemperature> const& table, double temperature_c) {
    if (table.empty()) return 1;
    if (temperature_c <= table.front().temperature_c) return table.front().factor;
    for (std::size_t i = 1; i < table.size(); ++i) {
        auto const& [from_c, from] = table[i - 1];
        auto const& [to_c, to] = table[i];
        if (temperature_c < to_c) return from + (to - from) * (temperature_c - from_c) / (to_c - from_c);
    }
    return table.back().factor;
}

std::vector<CapacityAtTemperature> lead_acid_capacity_table() {
    return {{-20, 0.55}, {-10, 0.70}, {0, 0.80}, {10, 0.91}, {25, 1.00}, {35, 1.06}};
}

std::vector<CapacityAtTemperature> lithium_iron_phosphate_capacity_table() {
    return {{-20, 0.65}, {-10, 0.80}, {0, 0.90}, {10, 0.95}, {25, 1.00}};
}

}  // namespace holdwater::models
