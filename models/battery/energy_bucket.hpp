#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <type_traits>

#include "models/numeric/decay.hpp"

namespace holdwater::models {

/// Parameters of a battery modeled as one store of energy. `Real` is double, or lanes of several batteries.
template <class Real>
struct EnergyBucketOf {
    Real capacity_kwh{};          ///< stored energy when full, at the present temperature and age [kWh], >= 0
    Real charge_efficiency{};     ///< stored per kWh into the terminals [-], (0, 1]
    Real discharge_efficiency{};  ///< delivered at the terminals per kWh taken from the store [-], (0, 1]
    Real min_soc{};          ///< minimum SOC, below which nothing is delivered: 1 - depth allowed [-], [0, 1)
    Real charge_limit_kw{};  ///< highest power into the terminals [kW], >= 0; may be infinite
    Real discharge_limit_kw{};    ///< highest power out of the terminals [kW], >= 0; may be infinite
    Real self_discharge_per_h{};  ///< share of the stored energy lost per hour [1/h], >= 0
};
using EnergyBucketParameters = EnergyBucketOf<double>;

/// Result of one step of constant power. stored = before + in - out - loss - self loss, except for rounding.
template <class Real>
struct EnergyStepOf {
    Real stored_kwh{};     ///< stored energy after the step [kWh]
    Real loss_kwh{};       ///< lost in conversion at the terminals [kWh], >= 0
    Real self_loss_kwh{};  ///< lost by self-discharge [kWh], >= 0 if the stored energy is not negative
};
using EnergyStep = EnergyStepOf<double>;

/// Throws ParameterError naming the field.
void validate(EnergyBucketParameters const& parameters);

/// Hourly rate of self-discharge from the monthly fraction (0.03 for 3 %), with a month of 730 h:
/// s = -ln(1 - fraction) / 730.
double self_discharge_per_h(double fraction_per_month);

/// Energy bucket: the simplest battery model that conserves energy.
///
///   dE/dt = w - s E,   w = -P / e_d  (P >= 0, discharge)   w = e_c |P|  (P < 0, charge)
///   E(t)  = E + w t - L,   L = E X + w (t - X / s),   X = 1 - exp(-s t)
///
/// Source: derived from the energy balance and solved exactly for constant terminal power, so a step is
/// exact at any length. (The hourly form "E exp(-s dt) - P dt / e_d", in which self-discharge acts before
/// the power, differs from it by w s dt^2 / 2.)
/// Holds for: constant power, temperature and capacity within a step.
/// Leaves out: rate-dependent capacity (see two_well_battery.hpp), voltage, aging.
/// Sign: terminal power > 0 discharges. Units: kW, kWh, h.
/// Pre: the step does not cross full or the minimum SOC (ask hours_until). Nothing is clamped.

/// Power into the store [kW] at a terminal power [kW]; negative if it empties the store.
template <class Real>
Real store_power_kw(EnergyBucketOf<Real> const& p, std::type_identity_t<Real> power_kw) {
    return pick(power_kw >= 0, -power_kw / p.discharge_efficiency, -power_kw * p.charge_efficiency);
}

/// The store after `hours` [h] >= 0 at constant terminal power [kW]. `decay`: decay(self_discharge_per_h *
/// hours), if the caller already has it.
template <class Real>
EnergyStepOf<Real> after(EnergyBucketOf<Real> const& p, std::type_identity_t<Real> const& stored_kwh,
                         std::type_identity_t<Real> const& power_kw, std::type_identity_t<Real> const& hours,
                         Decay<Real> const& decay) {
    Real const store_kwh = store_power_kw(p, power_kw) * hours;
    Real const loss_kwh = -power_kw * hours - store_kwh;
    Real const self_kwh = stored_kwh * decay.share + store_kwh * decay.shortfall;
    return {stored_kwh + store_kwh - self_kwh, loss_kwh, self_kwh};
}
template <class Real>
EnergyStepOf<Real> after(EnergyBucketOf<Real> const& p, std::type_identity_t<Real> const& stored_kwh,
                         std::type_identity_t<Real> const& power_kw,
                         std::type_identity_t<Real> const& hours) {
    return after(p, stored_kwh, power_kw, hours, decay<Real>(p.self_discharge_per_h * hours));
}

/// First time [h] >= 0 at which the store holds `target_kwh` at constant power into the store [kW];
/// 0 if it does now, infinity if never.
template <class Real>
[[gnu::always_inline]] inline Real hours_until_stored(EnergyBucketOf<Real> const& p,
                                                      std::type_identity_t<Real> stored_kwh,
                                                      std::type_identity_t<Real> store_kw,
                                                      std::type_identity_t<Real> target_kwh) {
    Real const gap_kwh = target_kwh - stored_kwh;
    Real const rate_kw = store_kw - p.self_discharge_per_h * stored_kwh;
    Real const linear_h = gap_kwh / rate_kw;
    // Share of the way to the energy at which the store would settle. The target is not reached if it lies in
    // the other direction or farther away.
    Real const share = p.self_discharge_per_h * linear_h;
    auto const reached = (gap_kwh * rate_kw > 0) & (share < 1);
    Real const hours = linear_h * log_stretch(pick(reached, share, Real(0)));
    return pick(gap_kwh == 0, Real(0), pick(reached, hours, Real(std::numeric_limits<double>::infinity())));
}
/// The same at constant terminal power [kW].
template <class Real>
Real hours_until(EnergyBucketOf<Real> const& p, std::type_identity_t<Real> stored_kwh,
                 std::type_identity_t<Real> power_kw, std::type_identity_t<Real> target_kwh) {
    return hours_until_stored(p, stored_kwh, store_power_kw(p, power_kw), target_kwh);
}

/// Time [h] until a step at constant terminal power must end: when charging, until full; when discharging,
/// until the minimum SOC. 0 if that limit is already reached (within 1e-12 of capacity, so that the year
/// loop cannot stall on the last digit), infinity if it never is. At zero power it is infinity, because
/// self-discharge alone may go below the minimum SOC.
inline double hours_until_limit(EnergyBucketParameters const& p, double stored_kwh, double power_kw) {
    if (power_kw == 0) return std::numeric_limits<double>::infinity();
    double const slack_kwh = 1e-12 * p.capacity_kwh, floor_kwh = p.min_soc * p.capacity_kwh;
    if (power_kw > 0)
        return stored_kwh <= floor_kwh + slack_kwh ? 0 : hours_until(p, stored_kwh, power_kw, floor_kwh);
    return stored_kwh >= p.capacity_kwh - slack_kwh ? 0
                                                    : hours_until(p, stored_kwh, power_kw, p.capacity_kwh);
}

/// Terminal power [kW] <= 0 that exactly balances self-discharge at this stored energy, so that the stored
/// energy stays the same. Pass it to `after` as it is (charging is negative).
template <class Real>
Real holding_power_kw(EnergyBucketOf<Real> const& p, std::type_identity_t<Real> stored_kwh) {
    return -p.self_discharge_per_h * stored_kwh / p.charge_efficiency;
}

/// Constant power into the store [kW] that brings it to `target_kwh` in exactly `hours` > 0.
inline double store_power_to_reach_kw(EnergyBucketParameters const& p, double stored_kwh, double target_kwh,
                                      double hours) {
    double const x = p.self_discharge_per_h * hours;
    double const kept_kwh = stored_kwh * (1 + std::expm1(-x));
    return (target_kwh - kept_kwh) / (hours * (1 - decay(x).shortfall));
}

/// Highest constant terminal power [kW] >= 0 that the battery can deliver over `hours` > 0 without going
/// below its minimum SOC.
inline double max_discharge_kw(EnergyBucketParameters const& p, double stored_kwh, double hours) {
    double const store_kw = store_power_to_reach_kw(p, stored_kwh, p.min_soc * p.capacity_kwh, hours);
    return std::clamp(-store_kw * p.discharge_efficiency, 0.0, p.discharge_limit_kw);
}

/// Highest constant terminal power [kW] >= 0 (a magnitude) that the battery can accept over `hours` > 0
/// without going above full.
inline double max_charge_kw(EnergyBucketParameters const& p, double stored_kwh, double hours) {
    double const store_kw = store_power_to_reach_kw(p, stored_kwh, p.capacity_kwh, hours);
    return std::clamp(store_kw / p.charge_efficiency, 0.0, p.charge_limit_kw);
}

}  // namespace holdwater::models
