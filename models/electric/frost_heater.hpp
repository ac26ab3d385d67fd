#pragma once

#include <algorithm>
#include <cmath>

namespace holdwater::models {

/// Heater with a thermostat that keeps a pump house, a pit or pipes from freezing.
///
/// The place is one heat store between heater and outside air:
///   dT/dt = (T_out + r P - T) / tau
/// T: temperature of the place, T_out: of the air, P: heat, r: rise over the air for each watt in the long
/// run, tau: time constant. For a constant P the solution is an exponential, so an hour has no time-step
/// error. The heater gives the mean power with which the place ends the hour at the thermostat's
/// temperature, as far as it can.
/// Source: first-order energy balance of a room; typical rises and time constants: common practice, no
/// source. Leaves out: sun on the place, heat of the pump, the band of the thermostat, heat of freezing.
struct FrostHeater {
    double power_w = 0;          ///< > 0
    double thermostat_c = 5;     ///< -20 .. 40
    double rise_k_per_w = 0.05;  ///< > 0, .. 10
    double time_constant_h = 6;  ///< 0 .. 240; 0: the place follows at once
    double freezes_below_c = 0;  ///< below the thermostat's
    friend bool operator==(FrostHeater const&, FrostHeater const&) = default;
};

/// Throws ParameterError naming the field.
void validate(FrostHeater const& heater);

/// Temperature of the place after some hours with this heat [degC].
inline double place_after_c(FrostHeater const& p, double place_c, double outside_c, double heat_w,
                            double hours) {
    double const end_c = outside_c + p.rise_k_per_w * heat_w;
    double const left = p.time_constant_h > 0 ? std::exp(-hours / p.time_constant_h) : 0;
    return end_c + (place_c - end_c) * left;
}

/// Mean heat over an hour that brings the place to the thermostat's temperature at its end [W], 0 .. power_w.
inline double heat_needed_w(FrostHeater const& p, double place_c, double outside_c) {
    double const unheated_c = place_after_c(p, place_c, outside_c, 0, 1);
    double const left = p.time_constant_h > 0 ? std::exp(-1 / p.time_constant_h) : 0;
    return std::clamp((p.thermostat_c - unheated_c) / (p.rise_k_per_w * (1 - left)), 0.0, p.power_w);
}

}  // namespace holdwater::models
