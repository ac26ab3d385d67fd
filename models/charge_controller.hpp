#pragma once

#include <algorithm>
#include <limits>

namespace holdwater::models {

/// Maximum-power-point charge controller between array and battery, simple form: P_out = min(efficiency x
/// P_array, limit), limit = the smaller of power_limit_w and current_limit_a x battery voltage. What is above
/// the limit is never drawn from the array (curtailed), it does not become heat. Efficiency 0.94-0.98 above
/// 20 % load (common practice, no source). Own use (1-5 W, from memory) is not subtracted here: it flows from
/// the battery day and night, so the energy balance adds standby_w to the DC load. Leaves out: falling
/// efficiency in weak light, derating when hot, tracking error. Sign: power positive from array to battery.
struct ChargeControllerParameters {
    double efficiency = 0.96;                                          // above 0 .. 1
    double power_limit_w = std::numeric_limits<double>::infinity();    // output, > 0
    double current_limit_a = std::numeric_limits<double>::infinity();  // output, > 0
    double standby_w = 2.0;                                            // 0 .. 100
};

void validate(ChargeControllerParameters const&);

/// Power into the battery side from what the array offers.
inline double controller_output_w(ChargeControllerParameters const& p, double array_w) {
    return std::min(p.efficiency * std::max(0.0, array_w), p.power_limit_w);
}
/// The same with the current limit at a battery voltage.
inline double controller_output_w(ChargeControllerParameters const& p, double array_w, double battery_v) {
    return std::min(controller_output_w(p, array_w), p.current_limit_a * battery_v);
}

/// Inverse: what the array really delivers for an output (which must not exceed what controller_output_w
/// gave). Lost as heat: array_draw - output. Curtailed at the array: offered - array_draw.
inline double controller_array_draw_w(ChargeControllerParameters const& p, double output_w) {
    return std::max(0.0, output_w) / p.efficiency;
}

}  // namespace holdwater::models
