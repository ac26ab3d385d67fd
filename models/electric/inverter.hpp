#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <type_traits>
#include <vector>

#include "models/numeric/lanes.hpp"

namespace holdwater::models {

/// How long an inverter carries a given overload.
struct SurgePoint {
    double ratio = 0;    ///< apparent power divided by the rating [-], > 1
    double seconds = 0;  ///< time for which the inverter carries it, from rest [s], > 0
};

/// Parameters of an inverter.
struct InverterParameters {
    double rated_power_w = 0;  ///< continuous AC output, all legs or phases together [W] and [VA], > 0
    double idle_w = 0;         ///< no-load loss: DC draw when awake with nothing connected [W], >= 0
    double k1 = 0;             ///< loss proportional to output [-], > -1
    double k2 = 0;             ///< loss proportional to the square of output [-]
    std::vector<SurgePoint>
        surge;                 ///< overload table, ratios falling as seconds rise; empty: no overload allowed
    double output_v = 240;     ///< AC output between the outer conductors [V], > 0
    int legs = 2;              ///< 1: single output; 2: split phase, half the rating on each leg; 3: three
                               ///< phases, output_v between two of them
    double search_w = 0;       ///< DC draw while asleep in search mode [W], 0 without search mode, <= idle_w
    double search_wake_w = 0;  ///< AC load that wakes it from search mode [W]; 0: search mode not used
    double low_voltage_v = 0;  ///< DC volts below which it drops out [V], 0: not limited
    double pass_through_va =
        std::numeric_limits<double>::infinity();  ///< highest power it passes from grid or generator [VA]
    double extra_w = 0;  ///< extra loss under load, rising up to 10 % of the rating and constant above [W];
                         ///< may be negative
    std::optional<double> pass_through_draw_w{};  ///< drawn from grid or generator while it passes their
                                                  ///< power through [W], >= 0; none: idle_w
    double pass_through_efficiency = 1;  ///< AC out divided by AC in, in addition to that draw [-], (0, 1]
    double phase_va =
        0;  ///< of three phases: rating of each [VA], at least a third of the rating; 0: a third
};

/// Throws ParameterError naming the field.
void validate(InverterParameters const& parameters);

/// Loss model of an inverter; all quantities as shares of the rating (p = AC output / rating):
///
///   p_loss = p0 + max(0, k1 p + k2 p^2 + x min(1, p / 0.1)),   p_dc = p + p_loss
///
/// p0 = idle_w / rated_power_w is the no-load loss, k1 represents voltage-like loss and k2 resistive loss.
/// With x = extra_w / rated_power_w = 0 this is the curve of Schmidt & Sauer, "Wechselrichter-Wirkungsgrade",
/// Sonnenenergie 4/1996, 43-47 (citation from memory). Three efficiencies determine its constant term, which
/// can differ from the measured no-load loss. x is this difference. Below the lowest of the three loads it
/// rises in a straight line from 0 (own choice, no source), so that the curve has exactly the stated
/// efficiencies. By construction the loss is never below the no-load loss.
/// Holds for: an inverter that is awake, at any load up to its surge limit.
/// Leaves out: dependence on DC voltage and temperature; extra loss at a low power factor.

/// Load [-] from which extra_w counts in full: the lowest load at which data sheets give an efficiency.
inline constexpr double full_extra_at = 0.1;

/// The parameters that the loss needs. `Real` is double, or lanes of several inverters.
template <class Real>
struct InverterLossOf {
    Real rated_power_w{}, idle_w{}, k1{}, k2_per_w{};  ///< k2_per_w: k2 divided by the rating
    Real extra_w{}, extra_share_per_w{};  ///< extra_share_per_w: share of extra_w per watt of output
};
inline InverterLossOf<double> loss_of(InverterParameters const& p) {
    return {p.rated_power_w,        p.idle_w,  p.k1,
            p.k2 / p.rated_power_w, p.extra_w, 1 / (full_extra_at * p.rated_power_w)};
}

/// DC input [W] for an AC output [W] >= 0; at no load this is the no-load loss.
template <class Real>
Real dc_input_w(InverterLossOf<Real> const& p, std::type_identity_t<Real> ac_w) {
    Real const with_load_w =
        ac_w * (1 + p.k1 + p.k2_per_w * ac_w) + p.extra_w * least(ac_w * p.extra_share_per_w, Real(1));
    return p.idle_w + most(with_load_w, ac_w);
}
inline double dc_input_w(InverterParameters const& p, double ac_w) { return dc_input_w(loss_of(p), ac_w); }

/// AC output [W] from a DC input [W]; 0 if the input does not cover the no-load loss. If k2 < 0, at most the
/// output up to which the curve rises.
double ac_output_w(InverterParameters const& p, double dc_w);

/// AC power [W] that the inverter draws from grid or generator for itself while it passes power through, and
/// in all to pass on `ac_w`.
inline double pass_through_draw_w(InverterParameters const& p) {
    return p.pass_through_draw_w.value_or(p.idle_w);
}
inline double pass_through_input_w(InverterParameters const& p, double ac_w) {
    return ac_w / p.pass_through_efficiency + pass_through_draw_w(p);
}
/// Highest power [W] that it passes on from a source of `source_w` [W].
inline double pass_through_output_w(InverterParameters const& p, double source_w) {
    return std::max(source_w - pass_through_draw_w(p), 0.0) * p.pass_through_efficiency;
}

/// Efficiency [-] at an AC output [W]; 0 without output.
inline double efficiency(InverterParameters const& p, double ac_w) {
    return ac_w > 0 ? ac_w / dc_input_w(p, ac_w) : 0;
}

/// Whether the inverter sleeps in search mode with this standing AC load [W]: it has the mode, and the load
/// is below its threshold. Asleep it supplies no steady power, so the pump control must be a large enough
/// load to wake it.
inline bool sleeps(InverterParameters const& p, double standing_ac_w) {
    return p.search_wake_w > 0 && standing_ac_w < p.search_wake_w;
}

/// Rating of each of three phases [VA].
inline double phase_rating_va(InverterParameters const& p) {
    return p.phase_va > 0 ? p.phase_va : p.rated_power_w / 3;
}

/// By how much the ratings of three phases together exceed the rating [VA], >= 0; 0 for other inverters.
inline double phase_headroom_va(InverterParameters const& p) {
    return p.legs == 3 ? std::max(3 * phase_rating_va(p) - p.rated_power_w, 0.0) : 0;
}

/// Throws ParameterError if the motor voltage differs by more than 10 % from the output of the inverter (and,
/// with two legs, from half of it). The message names the remedy.
void check_motor_voltage(InverterParameters const& parameters, double motor_v);

/// A loss curve through three efficiencies, all as shares of the rating. With another no-load loss and
/// extra = p0 - no-load loss, the curve still goes through the three efficiencies.
struct LossCurve {
    double p0 = 0, k1 = 0,
           k2 = 0;           ///< p0 may be negative: then the efficiencies leave no room for a no-load loss
    double lowest_loss = 0;  ///< lowest loss at the three loads
    double lowest_at = 0;    ///< the load at which it occurs
};

/// Loss curve exactly through the efficiencies at 10, 50 and 100 % of the rating. Throws ParameterError for
/// an efficiency outside (0, 1), for a curve whose loss is not positive between these loads, and for a curve
/// along which more output would need less input.
LossCurve fit_loss_curve(double efficiency_at_10, double efficiency_at_50, double efficiency_at_100);

/// Sets the curve in the parameters, with a no-load loss [W] >= 0 if one is stated. The efficiencies of a
/// data sheet include the no-load loss, so it is limited to the lowest loss at one of the three loads.
void set_loss_curve(InverterParameters& p, LossCurve const& curve, std::optional<double> stated_idle_w);

}  // namespace holdwater::models
