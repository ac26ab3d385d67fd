#pragma once

#include <span>

#include "models/energy_bucket.hpp"
#include "models/inverter.hpp"
#include "models/lanes.hpp"
#include "sim/power_flow.hpp"

namespace holdwater::sim {

/// The pump between two changes of it.
struct PumpStretch {
    double hours;
    double power_w;  ///< mean, with its start and a sleeping drive
};

/// Array, inverter and a plain bank as an hour needs them in which no rule applies. `Real` is double, or
/// lanes of several designs.
template <class Real>
struct QuickSupply {
    models::EnergyBucketOf<Real> bank;
    models::InverterLossOf<Real> inverter;
    Real controller_efficiency, controller_limit_w, standby_w;
    models::detail::Decay<Real> hourly_decay;  ///< of the bank over a whole hour
};

/// What happened to the supply in such an hour.
template <class Real>
struct QuickHour {
    Real stored_kwh;                                         ///< in the bank, now
    Real lowest_kwh;                                         ///< the least of it
    Real charged_kwh = 0, discharged_kwh = 0, loss_kwh = 0;  ///< at the bank's terminals
    Real sun_kwh = 0;                                        ///< out of the controller
    Real inverter_dc_kwh = 0;                                ///< into the inverter
};

/// Whether the inverter carries this highest AC power, the loads' reactive power and what one of its legs
/// carries more than the other; the same as SupplySide::capacity_w at least as high, without its root.
template <class Real>
auto inverter_carries(QuickSupply<Real> const& s, Real const& controller_w, Real const& ac_w,
                      Real const& load_var, Real const& leg_imbalance_w) {
    Real const rated_w = s.inverter.rated_power_w - leg_imbalance_w;
    Real const dc_w = controller_w + (1e3 * s.bank.discharge_limit_kw - s.standby_w);
    return (rated_w >= 0) & (ac_w * ac_w + load_var * load_var <= rated_w * rated_w) &
           (models::dc_input_w(s.inverter, ac_w) <= dc_w);
}

/// Carries the supply through one stretch: the sun feeds inverter and standby first, the rest goes to the
/// bank until that is full and is held there.
template <class Real>
void go_on(QuickSupply<Real> const& s, Real const& sun_w, Real const& ac_w, double hours,
           QuickHour<Real>& q) {
    using models::all, models::any, models::pick;
    Real const inverter_w = models::dc_input_w(s.inverter, ac_w);
    Real const dc_w = inverter_w + s.standby_w;
    Real const bank_w = bank_power_w(sun_w - dc_w, 1e3 * s.bank.charge_limit_kw);
    Real const power_kw = 1e-3 * bank_w, taken_w = models::most(-bank_w, Real(0));
    auto step = models::after(
        s.bank, q.stored_kwh, power_kw, Real(hours),
        hours == 1 ? s.hourly_decay : models::detail::decay<Real>(s.bank.self_discharge_per_h * Real(hours)));
    q.inverter_dc_kwh += inverter_w * Real(1e-3 * hours);
    auto const fills = (step.stored_kwh >= s.bank.capacity_kwh) & (power_kw < 0);
    Real first_h = hours;  // before the bank is full
    if (any(fills)) {
        auto const is_full = q.stored_kwh >= s.bank.capacity_kwh;
        if (all(is_full & fills)) {
            first_h = 0;
            step = {s.bank.capacity_kwh, 0, 0};
        } else {
            Real const full_h = models::hours_until(s.bank, q.stored_kwh, power_kw, s.bank.capacity_kwh);
            first_h = pick(fills, models::least(full_h, Real(hours)), Real(hours));
            step = models::after(s.bank, q.stored_kwh, power_kw, first_h);
            step.stored_kwh = pick(fills, s.bank.capacity_kwh, step.stored_kwh);
        }
        Real const held_h = hours - first_h;
        Real const held_kw = -models::holding_power_kw(s.bank, s.bank.capacity_kwh);
        q.charged_kwh += held_kw * held_h;
        q.loss_kwh += held_kw * held_h;
        q.sun_kwh += 1e-3 * sun_taken_w(sun_w, dc_w, Real(1e3 * held_kw)) * held_h;
    }
    q.charged_kwh += taken_w * (1e-3 * first_h);
    q.sun_kwh += sun_taken_w(sun_w, dc_w, taken_w) * (1e-3 * first_h);
    q.discharged_kwh += models::most(power_kw, Real(0)) * hours;
    q.loss_kwh += step.loss_kwh + step.self_loss_kwh;
    q.stored_kwh = step.stored_kwh;
    q.lowest_kwh = models::least(q.lowest_kwh, q.stored_kwh);
}

/// The whole hour. Right only when no rule applies to what comes out: the caller looks at `lowest_kwh`.
template <class Real>
QuickHour<Real> quick_hour(QuickSupply<Real> const& s, Real const& controller_w, Real const& load_w,
                           std::span<PumpStretch const> pump, Real const& stored_kwh) {
    QuickHour<Real> q{.stored_kwh = stored_kwh, .lowest_kwh = stored_kwh};
    for (PumpStretch const& p : pump) go_on(s, controller_w, load_w + p.power_w, p.hours, q);
    return q;
}

}  // namespace holdwater::sim
