#pragma once

#include <cmath>
#include <limits>
#include <type_traits>
#include <vector>

namespace holdwater::models {

/// How long an inverter stands a given overload.
struct SurgePoint {
    double ratio = 0;    ///< apparent power over the rating [-], > 1
    double seconds = 0;  ///< time it is stood for, from rest [s], > 0
};

/// Parameters of an inverter.
struct InverterParameters {
    double rated_power_w = 0;  ///< continuous AC output, all legs together [W] and [VA], > 0
    double idle_w = 0;         ///< DC draw when awake with nothing connected [W], >= 0
    double k1 = 0;             ///< loss proportional to output [-], > -1
    double k2 = 0;             ///< loss proportional to the square of output [-], >= 0
    std::vector<SurgePoint>
        surge;                 ///< overload table, ratios falling as seconds rise; empty: no overload stood
    double output_v = 240;     ///< AC output between the outer conductors [V], > 0
    int legs = 2;              ///< 1: single output; 2: split phase, half the rating on each leg
    double search_w = 0;       ///< DC draw asleep in search mode [W], 0 when it has none, <= idle_w
    double search_wake_w = 0;  ///< AC load that wakes it from search mode [W]; 0: search mode not used
    double low_voltage_v = 0;  ///< DC volts below which it drops out [V], 0: not limited
    double pass_through_va =
        std::numeric_limits<double>::infinity();  ///< most it passes from grid or generator [VA]
};

/// Throws ParameterError naming the field.
void validate(InverterParameters const& parameters);

/// Loss model of an inverter, all of the rating (p = AC output / rating):
///
///   p_loss = p0 + k1 p + k2 p^2,   p_dc = p + p_loss,   p0 = idle_w / rated_power_w
///
/// p0 stands for self-consumption, k1 for voltage-like and k2 for resistive loss.
/// Source: Schmidt & Sauer, "Wechselrichter-Wirkungsgrade", Sonnenenergie 4/1996, 43-47
/// (citation from memory). Holds for: an inverter that is awake, at any load up to its surge limit.
/// Leaves out: dependence on DC voltage and temperature; the extra loss of a poor power factor.

/// What the loss needs of the parameters. `Real` is double, or lanes of several inverters.
template <class Real>
struct InverterLossOf {
    Real rated_power_w{}, idle_w{}, k1{}, k2_per_w{};  ///< k2_per_w: k2 over the rating
};
inline InverterLossOf<double> loss_of(InverterParameters const& p) {
    return {p.rated_power_w, p.idle_w, p.k1, p.k2 / p.rated_power_w};
}

/// DC input [W] for an AC output [W] >= 0; at no load this is the idle draw.
template <class Real>
Real dc_input_w(InverterLossOf<Real> const& p, std::type_identity_t<Real> ac_w) {
    return p.idle_w + ac_w * (1 + p.k1 + p.k2_per_w * ac_w);
}
inline double dc_input_w(InverterParameters const& p, double ac_w) { return dc_input_w(loss_of(p), ac_w); }

/// AC output [W] that a DC input [W] sustains; 0 when the input does not cover the idle draw.
inline double ac_output_w(InverterParameters const& p, double dc_w) {
    double const spare_w = dc_w - p.idle_w;
    if (!(spare_w > 0)) return 0;
    // The root of k2/rated ac^2 + (1 + k1) ac = spare, in the form that keeps its digits when k2 -> 0.
    double const b = 1 + p.k1;
    return 2 * spare_w / (b + std::sqrt(b * b + 4 * p.k2 / p.rated_power_w * spare_w));
}

/// Efficiency [-] at an AC output [W]; 0 at none.
inline double efficiency(InverterParameters const& p, double ac_w) {
    return ac_w > 0 ? ac_w / dc_input_w(p, ac_w) : 0;
}

/// Whether search mode would sleep with this standing AC load [W]: it has the mode and the load is under its
/// threshold. Asleep it supplies nothing steadily, so a pump control must be seen as a load to wake it.
inline bool sleeps(InverterParameters const& p, double standing_ac_w) {
    return p.search_wake_w > 0 && standing_ac_w < p.search_wake_w;
}

/// DC draw [W] with only standing loads on: asleep the search draw, awake idle plus load.
inline double standing_dc_w(InverterParameters const& p, double standing_ac_w) {
    return sleeps(p, standing_ac_w) ? p.search_w : dc_input_w(p, standing_ac_w);
}

/// Efficiency weighted for PV inverters; for comparison of data sheets only, never for a pump load.
/// European: 0.03, 0.06, 0.13, 0.10, 0.48, 0.20 at 5, 10, 20, 30, 50, 100 %. Californian (weights from
/// memory): 0.04, 0.05, 0.12, 0.21, 0.53, 0.05 at 10, 20, 30, 50, 75, 100 %.
double european_efficiency(InverterParameters const& parameters);
double californian_efficiency(InverterParameters const& parameters);

/// Throws ParameterError when the inverter cannot make the motor's voltage: within 10 % of its output, or of
/// half of it where it has two legs. Names the remedy.
void check_motor_voltage(InverterParameters const& parameters, double motor_v);

/// A fitted loss curve, all per unit of rating.
struct LossCurve {
    double p0 = 0, k1 = 0, k2 = 0;
    bool inconsistent =
        false;  ///< the three points imply a negative p0 or k2; refitted with that held at 0: warn
    bool deep_dip = false;  ///< the loss dips below 0.8 p0 before rising: warn
};

/// Loss curve through the efficiencies at 10, 50 and 100 % of rating, each in (0, 1).
/// Exact when the result has p0 >= 0 and k2 >= 0, else the nearest curve that has (least squares on the
/// three losses), marked inconsistent. Throws ParameterError for an efficiency outside (0, 1) or a curve
/// whose loss is not positive everywhere.
LossCurve fit_loss_curve(double efficiency_at_10, double efficiency_at_50, double efficiency_at_100);

}  // namespace holdwater::models
