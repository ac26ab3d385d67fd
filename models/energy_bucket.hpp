#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdwater::models {

/// Parameters of a battery kept as one quantity of energy.
struct EnergyBucketParameters {
    double capacity_kwh;          ///< stored energy when full, at the present temperature and age [kWh], >= 0
    double charge_efficiency;     ///< stored per kWh put in at the terminals [-], (0, 1]
    double discharge_efficiency;  ///< delivered at the terminals per kWh taken from store [-], (0, 1]
    double floor_soc;  ///< state of charge below which nothing is delivered, 1 - depth allowed [-], [0, 1)
    double charge_limit_kw;       ///< most the bank accepts at the terminals [kW], >= 0; may be infinite
    double discharge_limit_kw;    ///< most the bank delivers at the terminals [kW], >= 0; may be infinite
    double self_discharge_per_h;  ///< share of the stored energy lost per hour [1/h], >= 0
};

/// What one step of constant power does. stored = before + in - out - loss - self loss, to rounding.
struct EnergyStep {
    double stored_kwh;     ///< energy in store after the step [kWh]
    double loss_kwh;       ///< lost in conversion at the terminals [kWh], >= 0
    double self_loss_kwh;  ///< lost by self-discharge [kWh], >= 0 as long as the store is not negative
};

/// Throws ParameterError naming the field.
void validate(EnergyBucketParameters const& parameters);

/// Monthly self-discharge as a fraction (0.03 for 3 %) to the hourly rate, with a month of 730 h:
/// s = -ln(1 - fraction) / 730.
double self_discharge_per_h(double fraction_per_month);

/// Energy bucket: the plainest battery that keeps its accounts.
///
///   dE/dt = w - s E,   w = -P / e_d  (P >= 0, discharge)   w = e_c |P|  (P < 0, charge)
///   E(t)  = E + w t - L,   L = E X + w (t - X / s),   X = 1 - exp(-s t)
///
/// Source: derivation from the energy balance; solved exactly for constant terminal power, so a
/// step is exact and its length is free. (The hourly form "E exp(-s dt) - P dt / e_d", which lets
/// self-discharge act before the power, differs from it by w s dt^2 / 2.)
/// Holds for: constant power, temperature and capacity within a step.
/// Leaves out: rate-dependent capacity (see two_well_battery.hpp), voltage, ageing.
/// Sign: terminal power > 0 discharges. Units: kW, kWh, h.
/// Pre: the step does not cross full or the floor (ask hours_until); nothing is clamped.

/// Power into the store [kW] for a terminal power [kW]; negative when it empties the store.
inline double store_power_kw(EnergyBucketParameters const& p, double power_kw) {
    return power_kw >= 0 ? -power_kw / p.discharge_efficiency : -power_kw * p.charge_efficiency;
}

/// Terminal power [kW] for a power into the store [kW]; the inverse of store_power_kw.
inline double terminal_power_kw(EnergyBucketParameters const& p, double store_kw) {
    return store_kw <= 0 ? -store_kw * p.discharge_efficiency : -store_kw / p.charge_efficiency;
}

namespace detail {

/// 1 - (1 - exp(-x)) / x for x >= 0: the part of x that decays, without cancellation at small x.
inline double decay_shortfall(double x) {
    if (x < 1e-3) return x * (0.5 - x * (1.0 / 6 - x * (1.0 / 24 - x / 120)));
    return 1 + std::expm1(-x) / x;
}

/// 1 - exp(-x) for x >= 0; the series is exact to rounding where steps of hours and rates of percents a month
/// lie.
inline double decayed_share(double x) {
    if (x < 1e-3) return x * (1 - x * (1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x / 120))));
    return -std::expm1(-x);
}

}  // namespace detail

/// The store after `hours` [h] >= 0 at constant terminal power [kW].
inline EnergyStep after(EnergyBucketParameters const& p, double stored_kwh, double power_kw, double hours) {
    double const store_kwh = store_power_kw(p, power_kw) * hours;
    double const loss_kwh = -power_kw * hours - store_kwh;
    if (p.self_discharge_per_h == 0) return {stored_kwh + store_kwh, loss_kwh, 0};
    double const x = p.self_discharge_per_h * hours;
    double const self_kwh = stored_kwh * detail::decayed_share(x) + store_kwh * detail::decay_shortfall(x);
    return {stored_kwh + store_kwh - self_kwh, loss_kwh, self_kwh};
}

/// First time [h] >= 0 at which the store holds `target_kwh` at constant terminal power [kW];
/// 0 if it does now, infinity if it never will.
inline double hours_until(EnergyBucketParameters const& p, double stored_kwh, double power_kw,
                          double target_kwh) {
    double const gap_kwh = target_kwh - stored_kwh;
    if (gap_kwh == 0) return 0;
    double const s = p.self_discharge_per_h;
    double const rate_kw = store_power_kw(p, power_kw) - s * stored_kwh;
    if (!(gap_kwh * rate_kw > 0)) return std::numeric_limits<double>::infinity();
    double const linear_h = gap_kwh / rate_kw;
    if (s == 0) return linear_h;
    double const share = s * linear_h;  // of the way to the level where the store would settle
    if (!(share < 1)) return std::numeric_limits<double>::infinity();
    return -std::log1p(-share) / s;
}

/// Time [h] until a step at constant terminal power must end: charging, until full; discharging, until the
/// floor; 0 if that limit is already reached (to 1e-12 of capacity, so that an event loop cannot stall on the
/// last digit), infinity if it never is. At no power it is infinity: self-discharge alone may sink below the
/// floor.
inline double hours_until_limit(EnergyBucketParameters const& p, double stored_kwh, double power_kw) {
    if (power_kw == 0) return std::numeric_limits<double>::infinity();
    double const slack_kwh = 1e-12 * p.capacity_kwh, floor_kwh = p.floor_soc * p.capacity_kwh;
    if (power_kw > 0)
        return stored_kwh <= floor_kwh + slack_kwh ? 0 : hours_until(p, stored_kwh, power_kw, floor_kwh);
    return stored_kwh >= p.capacity_kwh - slack_kwh ? 0
                                                    : hours_until(p, stored_kwh, power_kw, p.capacity_kwh);
}

/// Terminal power [kW] <= 0 that just balances self-discharge at this content: with it the store
/// stays where it is. Pass it to `after` as it is (charge is negative).
inline double holding_power_kw(EnergyBucketParameters const& p, double stored_kwh) {
    return -p.self_discharge_per_h * stored_kwh / p.charge_efficiency;
}

/// Constant store power [kW] that takes the store to `target_kwh` in exactly `hours` > 0.
inline double store_power_to_reach_kw(EnergyBucketParameters const& p, double stored_kwh, double target_kwh,
                                      double hours) {
    double const x = p.self_discharge_per_h * hours;
    double const kept_kwh = stored_kwh * (1 + std::expm1(-x));
    return (target_kwh - kept_kwh) / (hours * (1 - detail::decay_shortfall(x)));
}

/// Most terminal power [kW] >= 0 the bank can deliver evenly over `hours` > 0 without passing its floor.
inline double max_discharge_kw(EnergyBucketParameters const& p, double stored_kwh, double hours) {
    double const store_kw = store_power_to_reach_kw(p, stored_kwh, p.floor_soc * p.capacity_kwh, hours);
    return std::clamp(-store_kw * p.discharge_efficiency, 0.0, p.discharge_limit_kw);
}

/// Most terminal power [kW] >= 0 (a magnitude) the bank can take evenly over `hours` > 0 without overfilling.
inline double max_charge_kw(EnergyBucketParameters const& p, double stored_kwh, double hours) {
    double const store_kw = store_power_to_reach_kw(p, stored_kwh, p.capacity_kwh, hours);
    return std::clamp(store_kw / p.charge_efficiency, 0.0, p.charge_limit_kw);
}

}  // namespace holdwater::models
