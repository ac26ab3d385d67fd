#pragma once

#include <limits>
#include <span>

#include "models/energy_bucket.hpp"
#include "models/inverter.hpp"
#include "models/lanes.hpp"
#include "models/two_well_battery.hpp"
#include "sim/power_flow.hpp"

namespace holdwater::sim {

/// The pump between two changes of it.
struct PumpStretch {
    double hours;
    double power_w;  ///< mean, with its start and a sleeping drive
};

/// Array, inverter and bank as an hour needs them in which no rule applies. `Real` is double, or lanes of
/// several designs.
template <class Real>
struct QuickSupply {
    models::EnergyBucketOf<Real> bank;
    models::InverterLossOf<Real> inverter;
    Real controller_efficiency, controller_limit_w, standby_w;
    models::Decay<Real> hourly_decay;  ///< of the bank over a whole hour
    // Two wells only:
    models::TwoWellOf<Real> wells;
    Real hourly_levelled;  ///< what of their difference levels out in a whole hour
};

/// What happened to the supply in such an hour.
template <class Real>
struct QuickHour {
    Real stored_kwh;                                         ///< in the bank, now
    Real head_kwh;                                           ///< of the bound well over the other, now
    Real lowest_kwh;                                         ///< the least stored; -infinity: not quick
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
        hours == 1 ? s.hourly_decay : models::decay<Real>(s.bank.self_discharge_per_h * Real(hours)));
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

/// First time [h] in a step of `hours` at which the available well, that is not full or about to be less so,
/// is full, in the lanes of `fills`: those in which it is over-full at the step's end.
///
/// The well's content has one bend on its way: a rise that slackens, or a fall that turns into a rise.
/// Newton's method comes to the crossing from the left of the one and from the right of the other without
/// ever passing it.
template <class Real, class Mask>
Real hours_until_full(models::TwoWellOf<Real> const& wells, models::TwoWellLevels<Real> const& from,
                      Real const& store_kw, Real const& hours, Mask const& fills) {
    using models::any, models::pick;
    Real const c = wells.available_fraction, s = wells.self_discharge_per_h, both = wells.exchange_per_h + s;
    Real const full_kwh = c * wells.capacity_kwh, none = 0;
    // d q1/dt = c (g e^-st - h e^-(k+s)t)
    Real const g = store_kw - s * from.stored_kwh;
    Real const h = (1 - c) * (-store_kw / c - both * from.head_kwh);
    Real t = pick(h < 0, none, hours);
    auto open = fills;  // a lane stops where it would without the others
    for (int i = 0; i < 60; ++i) {
        auto const kept = models::decay<Real>(s * t);
        Real const levelled = models::gone_share<Real>(both * t);
        Real const over_kwh =
            models::available_kwh(wells, models::after(wells, from, -store_kw, t, kept, levelled)) - full_kwh;
        Real const rate_kw = c * (g * (1 - kept.share) - h * (1 - levelled));
        Real const back_h = pick(open, over_kwh / rate_kw, none);
        t -= back_h;
        open = (back_h > 1e-9) | (back_h < -1e-9);
        if (!any(open)) break;
    }
    return models::most(models::least(t, hours), none);
}

/// The same with two wells: until the available one is full, and from then on as fast as it passes on to the
/// bound one what it takes.
template <class Real>
void go_on_with_wells(QuickSupply<Real> const& s, Real const& sun_w, Real const& ac_w, double hours,
                      QuickHour<Real>& q) {
    using models::any, models::pick;
    auto const& wells = s.wells;
    Real const inverter_w = models::dc_input_w(s.inverter, ac_w);
    Real const dc_w = inverter_w + s.standby_w;
    Real const bank_w = bank_power_w(sun_w - dc_w, 1e3 * s.bank.charge_limit_kw);
    Real const power_kw = 1e-3 * bank_w, taken_w = models::most(-bank_w, Real(0));
    Real const store_kw = models::store_power_kw(s.bank, power_kw);
    Real const full_kwh = wells.available_fraction * wells.capacity_kwh,
               slack_kwh = 1e-12 * wells.capacity_kwh;
    Real const none = 0;
    models::TwoWellLevels<Real> const from{q.stored_kwh, q.head_kwh};
    auto const kept_for = [&](Real const& t) { return models::decay<Real>(wells.self_discharge_per_h * t); };
    auto const levelled_for = [&](Real const& t) {
        return models::gone_share<Real>((wells.exchange_per_h + wells.self_discharge_per_h) * t);
    };
    bool const whole_hour = hours == 1;
    auto kept = whole_hour ? s.hourly_decay : kept_for(hours);
    auto to = models::after(wells, from, -store_kw, Real(hours), kept,
                            whole_hour ? s.hourly_levelled : levelled_for(hours));
    q.inverter_dc_kwh += inverter_w * Real(1e-3 * hours);

    auto const charges = power_kw < 0;
    auto const tapers = charges & (models::available_kwh(wells, from) >= full_kwh - slack_kwh) &
                        (store_kw >= models::taper_fill_kw(wells, from.head_kwh) * (1 - 1e-12));
    auto const fills = charges & !tapers & (models::available_kwh(wells, to) > full_kwh);
    Real first_h = hours;  // before the taper
    if (auto const full = tapers | fills; any(full)) {
        auto at_full = from;
        first_h = pick(tapers, none, first_h);
        if (any(fills)) {
            first_h = pick(fills, hours_until_full(wells, from, store_kw, Real(hours), fills), first_h);
            auto const kept_first = kept_for(first_h);
            at_full = models::after(wells, from, -store_kw, first_h, kept_first, levelled_for(first_h));
            kept = {pick(fills, kept_first.share, kept.share),
                    pick(fills, kept_first.shortfall, kept.shortfall)};
        }
        kept = {pick(tapers, none, kept.share), pick(tapers, none, kept.shortfall)};
        Real const held_h = hours - first_h;
        auto const tail = models::taper(wells, at_full.stored_kwh, held_h);
        Real const charged_kwh = tail.filled_kwh / s.bank.charge_efficiency;
        q.charged_kwh += pick(full, charged_kwh, none);
        q.sun_kwh += pick(full, 1e-3 * dc_w * held_h + charged_kwh, none);
        q.loss_kwh += pick(full, charged_kwh - tail.filled_kwh + tail.self_loss_kwh, none);
        to = {pick(full, tail.to.stored_kwh, to.stored_kwh), pick(full, tail.to.head_kwh, to.head_kwh)};
    }
    Real const first_kwh = store_kw * first_h;
    q.charged_kwh += taken_w * (1e-3 * first_h);
    q.sun_kwh += sun_taken_w(sun_w, dc_w, taken_w) * (1e-3 * first_h);
    q.discharged_kwh += models::most(power_kw, none) * hours;
    q.loss_kwh += -power_kw * first_h - first_kwh + from.stored_kwh * kept.share + first_kwh * kept.shortfall;
    q.stored_kwh = to.stored_kwh;
    q.head_kwh = to.head_kwh;
    // An available well about to run empty, and one fed so little that it may be full and fall again, are for
    // the way that holds for every hour.
    auto const close = (models::available_kwh(wells, to) <= 1e-9 * wells.capacity_kwh) |
                       (charges & (store_kw < wells.self_discharge_per_h * wells.capacity_kwh));
    q.lowest_kwh = pick(close, Real(-std::numeric_limits<double>::infinity()),
                        models::least(q.lowest_kwh, q.stored_kwh));
}

/// The whole hour. Right only when no rule applies to what comes out: the caller looks at `lowest_kwh`.
template <bool two_wells, class Real>
QuickHour<Real> quick_hour(QuickSupply<Real> const& s, Real const& controller_w, Real const& load_w,
                           std::span<PumpStretch const> pump, models::TwoWellLevels<Real> const& bank) {
    QuickHour<Real> q{
        .stored_kwh = bank.stored_kwh, .head_kwh = bank.head_kwh, .lowest_kwh = bank.stored_kwh};
    for (PumpStretch const& p : pump)
        if constexpr (two_wells)
            go_on_with_wells(s, controller_w, load_w + p.power_w, p.hours, q);
        else
            go_on(s, controller_w, load_w + p.power_w, p.hours, q);
    return q;
}

}  // namespace holdwater::sim
