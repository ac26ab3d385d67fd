#pragma once

#include <limits>
#include <span>
#include <type_traits>

#include "models/battery/energy_bucket.hpp"
#include "models/battery/two_well_battery.hpp"
#include "models/electric/inverter.hpp"
#include "models/numeric/lanes.hpp"
#include "sim/supply/power_flow.hpp"
#include "sim/supply/supply_books.hpp"
#include "sim/water/pump_stretch.hpp"

namespace holdwater::sim {

/// A stretch of the pump for the supply: the needs of the DC side during it, and the decay of the battery.
/// `Need` is double, or lanes if the needs differ.
template <class Need>
struct SupplyStretch {
    double hours = 0;
    Need need_w{};             ///< into inverter and standby
    models::Decay<Need> kept;  ///< self-discharge
    Need leveled{};            ///< share by which the difference between two wells decays; otherwise 0
};

/// Array, inverter and battery for an hour in which no rule applies. `Real` is double, or lanes of several
/// designs.
template <class Real>
struct QuickSupply {
    models::EnergyBucketOf<Real> battery;
    models::InverterLossOf<Real> inverter;
    Real controller_efficiency{}, controller_limit_w{}, standby_w{};
    models::TwoWellOf<Real> wells;  ///< two wells only

    // These depend only on the fields above; prepare() computes them.
    Real charge_limit_w{}, taken_per_drawn{};
    models::Decay<Real> hourly_decay;  ///< of the battery over a whole hour
    models::TwoWellRates<Real> rates;
    Real hourly_leveled{}, hourly_tail{};
    Real full_available_kwh{}, taper_from_kwh{};  ///< available well full, and full except for rounding
    Real least_available_kwh{}, least_charge_kw{};
    bool same_rates = false;  ///< in all lanes

    void prepare() {
        charge_limit_w = 1e3 * battery.charge_limit_kw;
        taken_per_drawn = 1 / battery.discharge_efficiency;
        hourly_decay = models::decay<Real>(battery.self_discharge_per_h);
        rates = models::rates_of(wells);
        hourly_leveled = models::gone_share<Real>(rates.leveling_per_h);
        hourly_tail = models::gone_share<Real>(rates.tail_per_h);
        full_available_kwh = wells.available_fraction * wells.capacity_kwh;
        taper_from_kwh = full_available_kwh - 1e-12 * wells.capacity_kwh;
        least_available_kwh = 1e-9 * wells.capacity_kwh;
        least_charge_kw = battery.self_discharge_per_h * wells.capacity_kwh;
        same_rates = models::same_everywhere(battery.self_discharge_per_h) &&
                     models::same_everywhere(rates.leveling_per_h) &&
                     models::same_everywhere(rates.tail_per_h);
    }

    /// A stretch of the pump together with the small loads. Adds the input of the inverter to `inverter_kwh`.
    template <bool two_wells>
    [[nodiscard, gnu::always_inline]] inline SupplyStretch<Real> stretch(PumpStretch const& pump,
                                                                         Real const& load_w,
                                                                         Real& inverter_kwh) const {
        Real const inverter_w = models::dc_input_w(inverter, load_w + pump.power_w);
        inverter_kwh += inverter_w * Real(1e-3 * pump.hours);
        auto stretch = battery_stretch<two_wells>(pump.hours);
        stretch.need_w = inverter_w + standby_w;
        return stretch;
    }
    /// A stretch of the battery only; the caller knows the power that it is offered.
    template <bool two_wells>
    [[nodiscard, gnu::always_inline]] inline SupplyStretch<Real> battery_stretch(double hours) const {
        Real leveled = 0;
        if constexpr (two_wells) leveled = gone_over(hours, rates.leveling_per_h, hourly_leveled);
        return {hours, Real(0), decay_over(hours), leveled};
    }
    /// The decay in this number of hours; computed once if all lanes have the same rates.
    [[nodiscard, gnu::always_inline]] inline models::Decay<Real> decay_over(double hours) const {
        if (hours == 1) return hourly_decay;
        if (!same_rates) return models::decay<Real>(battery.self_discharge_per_h * hours);
        auto const d = models::decay(models::first(battery.self_discharge_per_h) * hours);
        return {d.share, d.shortfall};
    }
    [[nodiscard, gnu::always_inline]] inline Real gone_over(double hours, Real const& rate_per_h,
                                                            Real const& in_an_hour) const {
        if (hours == 1) return in_an_hour;
        if (!same_rates) return models::gone_share<Real>(rate_per_h * hours);
        return models::gone_share(models::first(rate_per_h) * hours);
    }
};

/// Result of the supply for such an hour, or for several.
template <class Real>
struct QuickHour {
    models::TwoWellLevels<Real> battery;       ///< at the end; an energy bucket leaves the head at 0
    Real lowest_kwh{};                         ///< lowest stored energy; -infinity: not a quick hour
    Real charged_kwh = 0, discharged_kwh = 0;  ///< at the terminals of the battery
    Real self_loss_kwh = 0;                    ///< lost by self-discharge
};

/// Energy lost in the battery for this charge and discharge.
template <class Real>
Real battery_loss_kwh(models::EnergyBucketOf<Real> const& battery,
                      std::type_identity_t<Real> const& charged_kwh,
                      std::type_identity_t<Real> const& discharged_kwh,
                      std::type_identity_t<Real> const& self_loss_kwh) {
    return charged_kwh * (1 - battery.charge_efficiency) +
           discharged_kwh * (1 / battery.discharge_efficiency - 1) + self_loss_kwh;
}

/// What array, controller, battery and standby did in such hours, for the energy balance. `sun_kwh` is what
/// the controller gave of the array's energy. The caller adds the loads and what feeds them.
inline SupplyEnergy quick_energy(QuickSupply<double> const& s, QuickHour<double> const& q, double array_kwh,
                                 double sun_kwh, double hours) {
    SupplyEnergy e;
    e.array_kwh = array_kwh;
    e.sun_kwh = sun_kwh;
    e.charged_kwh = q.charged_kwh;
    e.discharged_kwh = q.discharged_kwh;
    e.battery_loss_kwh = battery_loss_kwh(s.battery, q.charged_kwh, q.discharged_kwh, q.self_loss_kwh);
    e.standby_kwh = 1e-3 * s.standby_w * hours;
    return e;
}

/// Whether the inverter carries this highest AC power, with the reactive power of the loads and the imbalance
/// of its legs. Same result as a comparison with SupplySide::capacity_w, but without its square root.
template <class Real>
auto inverter_carries(QuickSupply<Real> const& s, Real const& controller_w, Real const& ac_w,
                      Real const& load_var, Real const& leg_imbalance_w) {
    Real const rated_w = s.inverter.rated_power_w - leg_imbalance_w;
    Real const dc_w = controller_w + (1e3 * s.battery.discharge_limit_kw - s.standby_w);
    return (rated_w >= 0) & (ac_w * ac_w + load_var * load_var <= rated_w * rated_w) &
           (models::dc_input_w(s.inverter, ac_w) <= dc_w);
}

namespace detail {

/// True if the offered power is one number for all lanes, so that all of them charge or all discharge.
template <class Offered>
inline constexpr bool goes_one_way = std::is_same_v<Offered, double>;

/// Whether all lanes are known to discharge or rest. If all have the same direction and this is false, all
/// charge.
template <class Offered>
[[gnu::always_inline]] inline bool all_discharge(Offered const& offered_w) {
    if constexpr (goes_one_way<Offered>)
        return offered_w <= 0;
    else
        return false;  // not worth checking
}

/// The powers in a stretch in which the array offers this much more than is needed [W]: the battery supplies
/// what is missing, and takes what is left up to its limit. Not for stretches with all_discharge.
template <class Real>
struct QuickFlow {
    Real charge_kw{}, discharge_kw{};  ///< at the terminals of the battery
    Real store_kw{};                   ///< into the store, after the losses at the terminals
};
template <class Real, class Offered>
[[gnu::always_inline]] inline QuickFlow<Real> quick_flow(QuickSupply<Real> const& s,
                                                         Offered const& offered_w) {
    Real const into_kw = -1e-3 * battery_power_w<Real>(offered_w, s.charge_limit_w);
    if constexpr (goes_one_way<Offered>) {
        return {into_kw, 0, into_kw * s.battery.charge_efficiency};
    } else {
        Real const charge_kw = models::most(into_kw, Real(0)), discharge_kw = charge_kw - into_kw;
        return {charge_kw, discharge_kw,
                charge_kw * s.battery.charge_efficiency - discharge_kw * s.taken_per_drawn};
    }
}

/// One stretch with an energy bucket: it charges until it is full, and is then held full.
template <class Real, class Offered, class Need>
[[gnu::always_inline]] inline void go_on(QuickSupply<Real> const& s, Offered const& offered_w,
                                         SupplyStretch<Need> const& p, QuickHour<Real>& q) {
    using models::all, models::any, models::pick;
    double const hours = p.hours;
    models::Decay<Real> const kept{p.kept.share, p.kept.shortfall};
    Real const before_kwh = q.battery.stored_kwh;
    if (all_discharge(offered_w)) {  // as below, without what is then 0
        Real const discharge_kw = -1e-3 * offered_w;
        Real const store_kwh = discharge_kw * s.taken_per_drawn * -hours;
        Real const self_kwh = before_kwh * kept.share + store_kwh * kept.shortfall;
        q.discharged_kwh += discharge_kw * hours;
        q.self_loss_kwh += self_kwh;
        q.battery.stored_kwh = before_kwh + (store_kwh - self_kwh);
        q.lowest_kwh = models::least(q.lowest_kwh, q.battery.stored_kwh);
        return;
    }
    auto const flow = quick_flow<Real>(s, offered_w);
    Real const full_kwh = s.battery.capacity_kwh, store_kwh = flow.store_kw * hours;
    Real self_kwh = before_kwh * kept.share + store_kwh * kept.shortfall;
    Real after_kwh = before_kwh + (store_kwh - self_kwh);
    if constexpr (!goes_one_way<Offered>) q.discharged_kwh += flow.discharge_kw * hours;
    auto const fills = after_kwh >= full_kwh;
    if (!any(fills)) {
        q.charged_kwh += flow.charge_kw * hours;
    } else {
        Real first_h = 0,
             first_self_kwh = 0;  // until the battery is full; the loss follows from the full battery
        if (!all((before_kwh >= full_kwh) & fills)) {
            Real const full_h = models::hours_until_stored(s.battery, before_kwh, flow.store_kw, full_kwh);
            first_h = pick(fills, models::least(full_h, Real(hours)), Real(hours));
            first_self_kwh = flow.store_kw * first_h - (full_kwh - before_kwh);
        }
        Real const held_h = hours - first_h, held_kw = s.battery.self_discharge_per_h * full_kwh;
        self_kwh = pick(fills, first_self_kwh + held_kw * held_h, self_kwh);
        q.charged_kwh +=
            flow.charge_kw * first_h + pick(fills, held_kw * held_h / s.battery.charge_efficiency, Real(0));
        after_kwh = pick(fills, full_kwh, after_kwh);
    }
    q.self_loss_kwh += self_kwh;
    q.battery.stored_kwh = after_kwh;
    q.lowest_kwh = models::least(q.lowest_kwh, after_kwh);
}

/// First time [h] in a step of `hours` at which the available well is full, for the lanes of `fills`, in
/// which it is above full at the end of the step. At the beginning it is not full, or it is about to fall.
///
/// The content of the well has one bend: either its rise slows down, or it falls first and then rises.
/// Newton's method approaches the crossing from the left in the first case and from the right in the second,
/// and never passes it.
template <class Real, class Mask>
[[gnu::always_inline]] inline Real hours_until_full(QuickSupply<Real> const& supply,
                                                    models::TwoWellLevels<Real> const& from,
                                                    Real const& store_kw, Real const& hours,
                                                    Mask const& fills) {
    using models::any, models::pick;
    Real const none = 0, draw_kw = -store_kw;
    auto const motion = models::available_motion(supply.wells, supply.rates, from, draw_kw);
    Real t = pick(motion.h_kw < 0, none, hours);
    auto open = fills;  // each lane stops where it would stop without the others
    for (int i = 0; i < 60; ++i) {
        Real const back_h = pick(open,
                                 models::newton_step_h(supply.wells, supply.rates, from, motion, draw_kw, t,
                                                       supply.full_available_kwh),
                                 none);
        t -= back_h;
        open = (back_h > 1e-9) | (back_h < -1e-9);
        if (!any(open)) break;
    }
    return models::most(models::least(t, hours), none);
}

/// One stretch with two wells: it charges until the available well is full, and from then on as fast as the
/// bound well takes charge from it.
template <class Real, class Offered, class Need>
[[gnu::always_inline]] inline void go_on_with_wells(QuickSupply<Real> const& s, Offered const& offered_w,
                                                    SupplyStretch<Need> const& p, QuickHour<Real>& q) {
    using models::any, models::pick;
    auto const& wells = s.wells;
    double const hours = p.hours;
    auto const from = q.battery;
    models::Decay<Real> const kept{p.kept.share, p.kept.shortfall};
    // The wells at a constant store power, even if they cannot hold it; returns the loss by self-discharge.
    auto const go = [&](Real const& draw_kw) __attribute__((always_inline)) {
        q.battery = models::after<Real>(s.rates, from, draw_kw, hours, kept, p.leveled);
        return from.stored_kwh * kept.share - draw_kw * Real(hours) * kept.shortfall;
    };
    if (all_discharge(offered_w)) {  // as below, without what is then 0
        Real const discharge_kw = -1e-3 * offered_w;
        q.self_loss_kwh += go(discharge_kw * s.taken_per_drawn);
        q.discharged_kwh += discharge_kw * hours;
        auto const close = models::available_kwh(wells, q.battery) <= s.least_available_kwh;
        q.lowest_kwh = pick(close, Real(-std::numeric_limits<double>::infinity()),
                            models::least(q.lowest_kwh, q.battery.stored_kwh));
        return;
    }
    Real const none = 0;
    auto const flow = quick_flow<Real>(s, offered_w);
    Real self_kwh = go(-flow.store_kw);
    Real const available_kwh = models::available_kwh(wells, q.battery);
    if constexpr (!goes_one_way<Offered>) q.discharged_kwh += flow.discharge_kw * hours;
    // If the available well is about to run empty, or gets so little that it may become full and fall again,
    // the hour is computed step by step.
    auto const charges = flow.charge_kw > 0;
    auto const close =
        (available_kwh <= s.least_available_kwh) | (charges & (flow.store_kw < s.least_charge_kw));
    auto const over = available_kwh > s.taper_from_kwh;
    if (!any(over)) {
        q.charged_kwh += flow.charge_kw * hours;
    } else {
        auto const is_full = models::available_kwh(wells, from) >= s.taper_from_kwh;
        auto const stays_full = flow.store_kw >= models::taper_fill_kw(wells, from.head_kwh) * (1 - 1e-12);
        auto const tapers = charges & over & is_full & stays_full;
        auto const fills = charges & !tapers & (available_kwh > s.full_available_kwh);
        auto const full = tapers | fills;
        Real first_h = pick(tapers, none, Real(hours));  // before the taper
        Real at_full_kwh = from.stored_kwh, first_self_kwh = none, tail_gone;
        if (!any(fills)) {
            tail_gone = s.gone_over(hours, s.rates.tail_per_h, s.hourly_tail);
        } else {
            first_h = pick(fills, hours_until_full(s, from, flow.store_kw, Real(hours), fills), first_h);
            auto const kept_first = models::decay<Real>(s.battery.self_discharge_per_h * first_h);
            Real const first_kwh = flow.store_kw * first_h;
            first_self_kwh = from.stored_kwh * kept_first.share + first_kwh * kept_first.shortfall;
            at_full_kwh += first_kwh - first_self_kwh;
            tail_gone = models::gone_share<Real>(s.rates.tail_per_h * (hours - first_h));
        }
        auto const tail = models::taper(wells, s.rates, at_full_kwh, Real(hours - first_h), tail_gone);
        q.charged_kwh +=
            flow.charge_kw * first_h + pick(full, tail.filled_kwh / s.battery.charge_efficiency, none);
        self_kwh = pick(full, first_self_kwh + tail.self_loss_kwh, self_kwh);
        q.battery = {pick(full, tail.to.stored_kwh, q.battery.stored_kwh),
                     pick(full, tail.to.head_kwh, q.battery.head_kwh)};
    }
    q.self_loss_kwh += self_kwh;
    q.lowest_kwh = pick(close, Real(-std::numeric_limits<double>::infinity()),
                        models::least(q.lowest_kwh, q.battery.stored_kwh));
}

}  // namespace detail

/// A stretch in which the battery is offered this much more than is needed [W]. The result is right only if
/// no rule applies to it.
template <bool two_wells, class Real, class Offered, class Need>
[[gnu::always_inline]] inline void quick_stretch(QuickSupply<Real> const& s, Offered const& offered_w,
                                                 SupplyStretch<Need> const& p, QuickHour<Real>& q) {
    if constexpr (two_wells)
        detail::go_on_with_wells(s, offered_w, p, q);
    else
        detail::go_on(s, offered_w, p, q);
}

/// Continues from `q` through the stretches and adds to its sums. The result is right only if no rule applies
/// to it: the caller checks `lowest_kwh`. `stretch_of` makes a SupplyStretch of each of `stretches`. Array
/// power and needs are doubles if they are the same in all lanes.
template <bool two_wells, class Real, class Sun, class Stretches, class StretchOf>
[[gnu::always_inline]] inline void go_through(QuickSupply<Real> const& s, Sun const& controller_w,
                                              Stretches const& stretches, StretchOf const& stretch_of,
                                              QuickHour<Real>& q) {
    for (auto const& each : stretches) {
        auto const& p = stretch_of(each);
        quick_stretch<two_wells>(s, controller_w - p.need_w, p, q);
    }
}

/// The whole hour by itself.
template <bool two_wells, class Real, class Sun, class Stretches, class StretchOf>
[[gnu::always_inline]] inline QuickHour<Real> quick_hour(QuickSupply<Real> const& s, Sun const& controller_w,
                                                         Stretches const& stretches,
                                                         StretchOf const& stretch_of,
                                                         models::TwoWellLevels<Real> const& battery) {
    QuickHour<Real> q{.battery = battery, .lowest_kwh = battery.stored_kwh};
    go_through<two_wells>(s, controller_w, stretches, stretch_of, q);
    return q;
}

}  // namespace holdwater::sim
