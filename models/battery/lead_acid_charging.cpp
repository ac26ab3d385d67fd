#include "models/battery/lead_acid_charging.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

double hours_to_charge(double from_soc, double to_soc, double rate_per_h, double acceptance_per_h) {
    if (to_soc <= from_soc) return 0;
    if (!(rate_per_h > 0) || to_soc >= 1) return std::numeric_limits<double>::infinity();
    double const knee_soc = taper_begins_at_soc(rate_per_h, acceptance_per_h);
    double const linear_h = std::max(0.0, std::min(to_soc, knee_soc) - from_soc) / rate_per_h;
    if (to_soc <= knee_soc) return linear_h;
    return linear_h + std::log((1 - std::max(from_soc, knee_soc)) / (1 - to_soc)) / acceptance_per_h;
}

double acceptance_limit_per_h(double room, double acceptance_per_h, double hours) {
    return -std::expm1(-acceptance_per_h * hours) * room / hours;
}

void validate(ChargeStageParameters const& p) {
    require(p.float_v > 0, "float_v", p.float_v, "must be above 0");
    require(p.absorption_v >= p.float_v, "absorption_v", p.absorption_v,
            "must not be below the float voltage");
    require(p.rebulk_v > 0 && p.rebulk_v < p.float_v, "rebulk_v", p.rebulk_v,
            "must be below the float voltage");
    require(p.rebulk_soc >= 0 && p.rebulk_soc < 1, "rebulk_soc", p.rebulk_soc,
            "must be at least 0 and below 1");
    require(p.tail_rate_per_h >= 0 && p.tail_rate_per_h < 0.2, "tail_rate_per_h", p.tail_rate_per_h,
            "must be at least 0 and below 0.2: 2 % of capacity is 0.02");
    require(p.tail_hours >= 0, "tail_hours", p.tail_hours, "must be >= 0");
    require(p.longest_absorption_h >= 0, "longest_absorption_h", p.longest_absorption_h, "must be >= 0");
    require(p.volts_per_k_cell <= 0 && p.volts_per_k_cell > -0.02, "volts_per_k_cell", p.volts_per_k_cell,
            "must be between -0.02 and 0: 4 mV per kelvin and cell is -0.004");
}

ChargeStageParameters flooded_charge_stages() { return {14.6, 13.35, 12.6, 0.9, 0.02, 0.1, 4, -0.004}; }
ChargeStageParameters sealed_charge_stages() { return {14.4, 13.5, 12.6, 0.9, 0.015, 0.1, 4, -0.004}; }
ChargeStageParameters gel_charge_stages() { return {14.25, 13.65, 12.6, 0.9, 0.015, 0.1, 5, -0.004}; }
ChargeStageParameters lithium_iron_phosphate_charge_stages() {
    return {14.2, 13.5, 13.1, 0.9, 0.035, 0.1, 1, 0};
}

ChargeStageState after(ChargeStageParameters const& p, ChargeStageState s, double volts_per_12,
                       double rate_per_h, double soc, double hours) {
    switch (s.stage) {
        case ChargeStage::bulk:
            if (volts_per_12 >= p.absorption_v) return {ChargeStage::absorption, 0, 0};
            break;
        case ChargeStage::absorption:
            s.absorbed_h += hours;
            s.at_tail_h = rate_per_h <= p.tail_rate_per_h ? s.at_tail_h + hours : 0;
            if (s.at_tail_h >= p.tail_hours && rate_per_h <= p.tail_rate_per_h)
                return {ChargeStage::floating, 0, 0};
            if (s.absorbed_h >= p.longest_absorption_h) return {ChargeStage::floating, 0, 0};
            break;
        case ChargeStage::floating:
            if (volts_per_12 < p.rebulk_v || soc < p.rebulk_soc) return {};
            break;
    }
    return s;
}

}  // namespace holdwater::models
