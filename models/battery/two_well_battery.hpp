#pragma once

#include <cmath>
#include <limits>
#include <vector>

#include "models/numeric/decay.hpp"
#include "models/numeric/expects.hpp"

namespace holdwater::models {

/// The result of hours_until_... for something that never happens.
inline constexpr double never_h = std::numeric_limits<double>::infinity();

/// Parameters of a two-well battery. No data sheet gives them directly: capacity, fraction and exchange are
/// fitted to rated capacities at three or more discharge times (fit_two_well). `Real` is double, or lanes of
/// several batteries.
template <class Real>
struct TwoWellOf {
    Real capacity_kwh{};            ///< Q, energy in both wells when full [kWh], >= 0
    Real available_fraction{};      ///< c, share held in the available well [-], (0, 1)
    Real exchange_per_h{};          ///< k = k' / (c (1-c)), rate at which the wells equalize [1/h], > 0
    Real self_discharge_per_h = 0;  ///< s, share of each well lost per hour [1/h], >= 0
};
using TwoWellParameters = TwoWellOf<double>;

/// Energy in each well. A value: copying it is a snapshot of the battery.
struct TwoWellState {
    double available_kwh = 0;  ///< q1, can be drawn at once [kWh], in [0, c Q]
    double bound_kwh = 0;      ///< q2, reaches the load only through q1 [kWh], in [0, (1-c) Q]
};

/// The same in the coordinates in which the two equations are independent.
template <class Real>
struct TwoWellLevels {
    Real stored_kwh{};  ///< q, in both wells [kWh]
    Real head_kwh{};    ///< d = h2 - h1 [kWh]; above 0 the available well recovers
};

/// Result of a step in which the available well is held full.
template <class Real>
struct TwoWellTaperOf {
    TwoWellLevels<Real> to;
    Real filled_kwh{};     ///< taken into the store [kWh]
    Real self_loss_kwh{};  ///< lost by self-discharge [kWh]
};
struct TwoWellTaper {
    TwoWellState state;
    double filled_kwh = 0;     ///< taken into the store [kWh]
    double self_loss_kwh = 0;  ///< lost by self-discharge [kWh]
};

/// Throws ParameterError naming the field.
void validate(TwoWellParameters const& parameters);

/// Kinetic (two-well) battery: it explains why a battery delivers less at a high rate and recovers some of
/// that during a rest.
///
///   dq1/dt = -D + k' (h2 - h1) - s q1     h1 = q1 / c,  h2 = q2 / (1-c),  k' = k c (1-c)
///   dq2/dt =    - k' (h2 - h1) - s q2
///
/// With q = q1 + q2 and d = h2 - h1 the two equations are independent:
///   dq/dt = -D - s q,  dd/dt = D/c - (k+s) d.   For constant D the exact solution is
///   q(t) = q0 e^-st - D (1 - e^-st)/s        d(t) = d0 e^-(k+s)t + D/c (1 - e^-(k+s)t)/(k+s)
///   q1 = c (q - (1-c) d)                     q2 = (1-c) (q + c d)
///
/// Source: Manwell & McGowan, "Lead acid battery storage model for hybrid energy systems", Solar
/// Energy 50(5), 399-405, 1993 (citation from memory; the solution is derived from the two differential
/// equations). Self-discharge, at the same rate in both wells, is our addition.
/// Holds for: constant power within a step, constant temperature, lead-acid at about 1-100 h rates.
/// Leaves out: terminal voltage, conversion losses (see battery.hpp), gassing, aging. Not for lithium
/// iron phosphate, which is nearly independent of rate: use the energy bucket.
/// Sign: draw_kw > 0 discharges. All quantities are inside the battery: no efficiency is applied here.
/// The equations are the same for charge in Ah and current in A instead of kWh and kW.

inline double stored_kwh(TwoWellState const& s) { return s.available_kwh + s.bound_kwh; }

/// The state after a long rest with `stored` [kWh] in both wells.
inline TwoWellState at_rest(TwoWellParameters const& p, double stored) {
    return {p.available_fraction * stored, stored - p.available_fraction * stored};
}

/// h2 - h1 [kWh]; above 0 the available well recovers.
inline double head_difference_kwh(TwoWellParameters const& p, TwoWellState const& s) {
    return s.bound_kwh / (1 - p.available_fraction) - s.available_kwh / p.available_fraction;
}

inline TwoWellLevels<double> levels_of(TwoWellParameters const& p, TwoWellState const& s) {
    return {stored_kwh(s), head_difference_kwh(p, s)};
}
template <class Real>
Real available_kwh(TwoWellOf<Real> const& p, TwoWellLevels<Real> const& at) {
    return p.available_fraction * (at.stored_kwh - (1 - p.available_fraction) * at.head_kwh);
}
inline TwoWellState wells_of(TwoWellParameters const& p, TwoWellLevels<double> const& at) {
    double const c = p.available_fraction;
    return {available_kwh(p, at), (1 - c) * (at.stored_kwh + c * at.head_kwh)};
}

/// Constants that follow from the parameters, for callers that use the formulas often.
template <class Real>
struct TwoWellRates {
    Real leveling_per_h{};  ///< k + s, rate at which the difference between the wells decays
    Real apart_h{};         ///< final difference that a draw causes, 1 / (c (k + s)) [kWh per kW]
    Real tail_per_h{};      ///< k c + s, rate at which the bound well fills while the available well is full
    Real tail_h{};          ///< 1 / tail_per_h
    Real settled_kwh{};     ///< head that the bound well approaches then
    Real per_bound{};       ///< 1 / (1 - c)
};
template <class Real>
TwoWellRates<Real> rates_of(TwoWellOf<Real> const& p) {
    Real const c = p.available_fraction, leveling_per_h = p.exchange_per_h + p.self_discharge_per_h;
    Real const tail_per_h = p.exchange_per_h * c + p.self_discharge_per_h, tail_h = 1 / tail_per_h;
    return {leveling_per_h,
            1 / (c * leveling_per_h),
            tail_per_h,
            tail_h,
            p.exchange_per_h * c * p.capacity_kwh * tail_h,
            1 / (1 - c)};
}

/// The levels after `hours` at a constant draw [kW]. `kept`: decay(s * hours); `leveled`:
/// gone_share((k + s) * hours). Pre and post: as for `after` below.
template <class Real>
[[gnu::always_inline]] inline TwoWellLevels<Real> after(TwoWellRates<Real> const& rates,
                                                        TwoWellLevels<Real> const& from, Real const& draw_kw,
                                                        Real const& hours, Decay<Real> const& kept,
                                                        Real const& leveled) {
    Real const drawn_kwh = draw_kw * hours;
    return {from.stored_kwh - drawn_kwh - (from.stored_kwh * kept.share - drawn_kwh * kept.shortfall),
            from.head_kwh + (draw_kw * rates.apart_h - from.head_kwh) * leveled};
}

/// Rate of change of the available well at a constant draw [kW]:  d q1/dt = c (g e^-st - h e^-(k+s)t).
template <class Real>
struct AvailableMotion {
    Real g_kw{}, h_kw{};
};
template <class Real>
[[gnu::always_inline]] inline AvailableMotion<Real> available_motion(TwoWellOf<Real> const& p,
                                                                     TwoWellRates<Real> const& rates,
                                                                     TwoWellLevels<Real> const& from,
                                                                     Real const& draw_kw) {
    Real const c = p.available_fraction;
    return {-draw_kw - p.self_discharge_per_h * from.stored_kwh,
            (1 - c) * (draw_kw / c - rates.leveling_per_h * from.head_kwh)};
}

/// One step of Newton's method [h] toward the time at which the available well holds `level_kwh`: the caller
/// subtracts it from `hours`.
template <class Real>
[[gnu::always_inline]] inline Real newton_step_h(TwoWellOf<Real> const& p, TwoWellRates<Real> const& rates,
                                                 TwoWellLevels<Real> const& from,
                                                 AvailableMotion<Real> const& motion, Real const& draw_kw,
                                                 Real const& hours, Real const& level_kwh) {
    auto const kept = decay<Real>(p.self_discharge_per_h * hours);
    Real const leveled = gone_share<Real>(rates.leveling_per_h * hours);
    Real const over_kwh = available_kwh(p, after(rates, from, draw_kw, hours, kept, leveled)) - level_kwh;
    return over_kwh / (p.available_fraction * (motion.g_kw * (1 - kept.share) - motion.h_kw * (1 - leveled)));
}

/// The state after `hours` [h] >= 0 at a constant draw [kW].
/// Pre: neither well becomes empty or full within the step (ask hours_until_available). Nothing is clamped.
/// Post: without self-discharge the two wells together lose draw_kw * hours, except for rounding.
/// `rates`: rates_of(p), if the caller already has them.
inline TwoWellState after(TwoWellParameters const& p, TwoWellRates<double> const& rates,
                          TwoWellState const& from, double draw_kw, double hours) {
    HOLDWATER_EXPECTS(hours >= 0);
    return wells_of(p, after(rates, levels_of(p, from), draw_kw, hours, decay(p.self_discharge_per_h * hours),
                             gone_share(rates.leveling_per_h * hours)));
}
inline TwoWellState after(TwoWellParameters const& p, TwoWellState const& from, double draw_kw,
                          double hours) {
    return after(p, rates_of(p), from, draw_kw, hours);
}

/// Constant draw [kW] that leaves exactly `available_kwh` in the available well after `hours` > 0.
/// Negative if the well has to be filled.
inline double draw_to_reach_available_kw(TwoWellParameters const& p, TwoWellState const& from,
                                         double available_kwh, double hours) {
    double const c = p.available_fraction, s = p.self_discharge_per_h, both = p.exchange_per_h + s;
    double const undrawn_kwh = after(p, from, 0, hours).available_kwh;
    double const per_kw = c * decay_hours(s, hours) + (1 - c) * decay_hours(both, hours);
    return (undrawn_kwh - available_kwh) / per_kw;
}

/// Highest constant draw [kW] over `hours` > 0: the available well is empty at the end.
inline double max_draw_kw(TwoWellParameters const& p, TwoWellState const& from, double hours) {
    return draw_to_reach_available_kw(p, from, 0, hours);
}

/// Highest constant charging power [kW] (a magnitude) over `hours` > 0: the available well is full at the
/// end.
inline double max_fill_kw(TwoWellParameters const& p, TwoWellState const& from, double hours) {
    return -draw_to_reach_available_kw(p, from, p.available_fraction * p.capacity_kwh, hours);
}

/// Charging power [kW] that holds a full available well full: it supplies the bound well, whose head is
/// `head_kwh` (<= 0) away, and the self-discharge.
template <class Real>
Real taper_fill_kw(TwoWellOf<Real> const& p, Real const& head_kwh) {
    Real const c = p.available_fraction;
    return p.self_discharge_per_h * c * p.capacity_kwh - p.exchange_per_h * c * (1 - c) * head_kwh;
}
inline double taper_fill_kw(TwoWellParameters const& p, TwoWellState const& from) {
    return taper_fill_kw(p, from.bound_kwh / (1 - p.available_fraction) - p.capacity_kwh);
}

/// The tail of a charge: the available well is held full for `hours` [h] while the bound well fills,
///   dh2/dt = k c (Q - h2) - s h2.   Pre: the available well is full; its content is set to c Q.
/// `gone`: gone_share((k c + s) * hours).
template <class Real>
[[gnu::always_inline]] inline TwoWellTaperOf<Real> taper(TwoWellOf<Real> const& p,
                                                         TwoWellRates<Real> const& rates,
                                                         Real const& stored_kwh, Real const& hours,
                                                         Real const& gone) {
    Real const c = p.available_fraction, s = p.self_discharge_per_h, full_kwh = c * p.capacity_kwh;
    Real const to_go = rates.settled_kwh - (stored_kwh - full_kwh) * rates.per_bound;
    Real const head = rates.settled_kwh - to_go * (1 - gone);
    Real const head_hours = rates.settled_kwh * hours - to_go * gone * rates.tail_h;
    Real const lost_kwh = s * (full_kwh * hours + (1 - c) * head_hours);
    Real const to_kwh = full_kwh + (1 - c) * head;
    return {{to_kwh, head - p.capacity_kwh}, to_kwh - stored_kwh + lost_kwh, lost_kwh};
}
inline TwoWellTaper taper(TwoWellParameters const& p, TwoWellRates<double> const& rates,
                          TwoWellState const& from, double hours) {
    double const full_kwh = p.available_fraction * p.capacity_kwh;
    auto const t = taper(p, rates, full_kwh + from.bound_kwh, hours, gone_share(rates.tail_per_h * hours));
    return {{full_kwh, t.to.stored_kwh - full_kwh},
            t.filled_kwh + full_kwh - from.available_kwh,
            t.self_loss_kwh};
}
inline TwoWellTaper taper(TwoWellParameters const& p, TwoWellState const& from, double hours) {
    return taper(p, rates_of(p), from, hours);
}

/// First time [h] >= 0 at which the available well holds `level_kwh` at a constant draw [kW]; 0 if it does
/// now, infinity if never. This also holds for a well that first rises and then falls, or the reverse.
double hours_until_available(TwoWellParameters const& p, TwoWellState const& from, double draw_kw,
                             double level_kwh);

/// First time [h] at which the two wells together hold `level_kwh`; 0 if now, infinity if never.
double hours_until_stored(TwoWellParameters const& p, TwoWellState const& from, double draw_kw,
                          double level_kwh);

/// Energy [kWh] delivered from full at the constant draw that empties the available well in `hours` > 0:
///   C(T) = Q k c T / (1 - e^-kT + c (kT - 1 + e^-kT)).   Without self-discharge, as on a data sheet.
double capacity_at_hours_kwh(TwoWellParameters const& p, double hours);

/// One row of a data sheet: the capacity at constant discharge over this many hours.
struct RatedCapacity {
    double hours = 0;
    double capacity_kwh = 0;  ///< or Ah: the result of the fit has the same unit
};

struct TwoWellFit {
    TwoWellParameters parameters;   ///< without self-discharge
    double worst_residual = 0;      ///< largest |C(T_i)/C_i - 1| [-]; above 0.03 the reader warns
    bool rate_independent = false;  ///< c is above 0.98: use the energy bucket instead
};

/// Capacity, fraction and exchange from a table of rated capacities: least squares on C(T_i)/C_i - 1
/// over logit c, ln k, ln Q, by Levenberg-Marquardt from c 0.5, k 0.37 1/h, Q 1.05 max C.
/// Throws ParameterError for fewer than three rows, a span of less than 10:1 in hours, or a capacity that
/// does not rise with the hours.
TwoWellFit fit_two_well(std::vector<RatedCapacity> const& table);

}  // namespace holdwater::models
