#pragma once

#include <algorithm>
#include <limits>

#include "models/array/array_curve.hpp"

namespace holdwater::models {

enum class ControllerKind { maximum_power_point, direct };

/// Charge controller between array and battery.
///
/// Simple form (power only, kind maximum_power_point): P_out = min(efficiency x P_array, limit), where the
/// limit is the smaller of power_limit_w and current_limit_a x battery voltage.
///
/// On the curve of the array:
///   maximum_power_point: a step-down converter. It holds the array at its maximum power point, but not below
///     the larger of battery voltage + headroom_v and tracking_min_v, and not above tracking_max_v. At such a
///     limit it takes V I(V). It starts when the open-circuit voltage of the array is above battery voltage +
///     start_margin_v, and runs as long as it is above battery voltage + run_margin_v.
///   direct: a switch. The array is at battery voltage + drop_v, and the battery receives that current at its
///     own voltage. Power that the array could give at a higher voltage is lost. drop_v is 0.3-0.8 V per 12 V
///     of battery. The efficiency is not used.
///   Both: no power if the open-circuit voltage is above input_max_v (over_voltage; a real device is
///     destroyed).
///
/// Three losses are counted separately, all at the array: what the voltage window loses (window_loss_w), what
/// the limit of the controller curtails (curtailed_by_controller_w), and what the battery side does not
/// accept (curtailed_by_battery_w). Only heat_w is drawn from the array and lost. The controller's own draw
/// (1-5 W, from memory) is not subtracted here: it comes from the battery day and night, so the energy
/// balance adds standby_w to the DC load. Efficiency 0.94-0.98 above 20 % load, margins, headroom and drop:
/// common practice, no source. Leaves out: lower efficiency in weak light, derating in heat, tracking error.
/// Sign: power is positive from array to battery.
struct ChargeControllerParameters {
    ControllerKind kind = ControllerKind::maximum_power_point;
    double efficiency = 0.96;                                          // above 0 .. 1
    double power_limit_w = std::numeric_limits<double>::infinity();    // output, > 0
    double current_limit_a = std::numeric_limits<double>::infinity();  // output, > 0
    double standby_w = 2.0;                                            // 0 .. 100
    double input_max_v = 600.0;                                        // open circuit, > 0
    double tracking_min_v = 0.0;                                       // 0 .. tracking_max_v
    double tracking_max_v = 600.0;                                     // > 0 .. input_max_v
    double headroom_v = 1.0;                                           // 0 .. 20
    double start_margin_v = 6.0;                                       // run_margin_v .. 50
    double run_margin_v = 2.0;                                         // 0 .. 50
    double drop_v = 0.5;                                               // direct only, 0 .. 5
    friend bool operator==(ChargeControllerParameters const&, ChargeControllerParameters const&) = default;
};

void validate(ChargeControllerParameters const&);

/// Power that the controller can give to the battery side from the available array power; simple form.
inline double controller_output_w(ChargeControllerParameters const& p, double array_w) {
    return std::min(p.efficiency * std::max(0.0, array_w), p.power_limit_w);
}
/// The same with the current limit at this battery voltage.
inline double controller_output_w(ChargeControllerParameters const& p, double array_w, double battery_v) {
    return std::min(controller_output_w(p, array_w), p.current_limit_a * battery_v);
}

/// The inverse: the power drawn from the array for an output (which must not be above controller_output_w).
/// Lost as heat: array draw - output. Curtailed at the array: available - array draw.
inline double controller_array_draw_w(ChargeControllerParameters const& p, double output_w) {
    return std::max(0.0, output_w) / p.efficiency;
}

/// How the available array power is split: offered_w = output_w + heat_w + curtailed_by_controller_w +
/// curtailed_by_battery_w + window_loss_w.
struct ControllerFlows {
    double offered_w = 0, output_w = 0, heat_w = 0;
    double curtailed_by_controller_w = 0, curtailed_by_battery_w = 0, window_loss_w = 0;
};

/// Simple form with a limited output: `accepted_w` is what battery and loads on the battery side can take
/// now.
inline ControllerFlows controller_flows(ChargeControllerParameters const& p, double array_w, double battery_v,
                                        double accepted_w) {
    ControllerFlows f;
    f.offered_w = std::max(0.0, array_w);
    double const can_w = controller_output_w(p, f.offered_w, battery_v);
    f.output_w = std::clamp(accepted_w, 0.0, can_w);
    double const can_draw_w = std::min(f.offered_w, controller_array_draw_w(p, can_w));
    double const draw_w = std::min(can_draw_w, controller_array_draw_w(p, f.output_w));
    f.heat_w = draw_w - f.output_w;
    f.curtailed_by_controller_w = f.offered_w - can_draw_w;
    f.curtailed_by_battery_w = can_draw_w - draw_w;
    return f;
}

/// True if in this hour the controller is on and can hold the array at its maximum power point at every
/// battery voltage up to battery_max_v. Then the simple form gives the same result as the curve, and the
/// curve need not be solved. False for an hour without voltages (ModuleModel::linear) and for kind direct.
inline bool tracks_freely(ChargeControllerParameters const& p, ArrayHour const& h, double battery_max_v) {
    return p.kind == ControllerKind::maximum_power_point && h.open_circuit_v <= p.input_max_v &&
           h.open_circuit_v > battery_max_v + p.start_margin_v && h.mpp_v <= p.tracking_max_v &&
           h.mpp_v >= std::max(battery_max_v + p.headroom_v, p.tracking_min_v);
}

struct ControllerPoint {
    ControllerFlows flows;
    double array_v = 0;  // 0 if off
    bool running = false;
    bool over_voltage = false;
};

/// The same on the curve. `was_running`: with hourly steps this is false only in the first step with sun. For
/// kind direct the array power is V I(V) at its voltage. If the battery takes less, the switch is open part
/// of the time and all shares fall in proportion.
ControllerPoint controller_point(ChargeControllerParameters const&, ArrayCurve const&, double battery_v,
                                 double accepted_w, bool was_running);

}  // namespace holdwater::models
