#pragma once

#include "models/battery/energy_bucket.hpp"
#include "models/battery/two_well_battery.hpp"

namespace holdwater::models {

enum class BatteryKind { energy_bucket, two_well };

/// The kind of a battery with its parameters, besides those of EnergyBucketParameters, which every kind has.
/// Code elsewhere that depends on the kind asks is_two_well().
struct BatteryStore {
    BatteryKind kind = BatteryKind::energy_bucket;
    double available_fraction = 0.5;  ///< c, two wells only [-], (0, 1)
    double exchange_per_h = 0.5;      ///< k, two wells only [1/h], > 0
    /// alpha: the battery accepts at most alpha (capacity - stored) [1/h], > 0. Infinite: no taper, charging
    /// only stops at full. Energy bucket only: two wells taper because of their exchange.
    double acceptance_per_h = std::numeric_limits<double>::infinity();
};

/// Parameters of a battery of any kind.
struct BatteryParameters : BatteryStore {
    EnergyBucketParameters energy;  ///< capacity, efficiencies, minimum SOC, limits, self-discharge
};

/// An energy bucket without taper: it takes all it is offered until it is full.
inline bool is_plain(BatteryStore const& b) {
    return b.kind == BatteryKind::energy_bucket &&
           b.acceptance_per_h == std::numeric_limits<double>::infinity();
}

/// Whether part of its energy must first flow from a bound well to an available one.
inline bool has_wells(BatteryStore const& b) { return b.kind == BatteryKind::two_well; }

/// Whether it accepts less and less as it fills, and so never quite reaches full.
inline bool tapers(BatteryStore const& b) {
    return has_wells(b) || b.acceptance_per_h < std::numeric_limits<double>::infinity();
}

/// Energy in the battery. The energy bucket keeps all of it in `available_kwh`.
using BatteryState = TwoWellState;

/// Result of a step. Change of stored energy = -terminal energy - loss - self loss, except for rounding.
struct BatteryStep {
    BatteryState state;
    double loss_kwh = 0;       ///< lost in conversion at the terminals [kWh]
    double self_loss_kwh = 0;  ///< lost by self-discharge [kWh]
};

/// Result of a step in which the battery charges as fast as it accepts.
struct BatteryTaper {
    BatteryState state;
    double charged_kwh = 0;  ///< energy into the terminals [kWh]
    double loss_kwh = 0;
    double self_loss_kwh = 0;
};

/// Throws ParameterError naming the field.
void validate(BatteryParameters const& parameters);

/// One interface to the energy bucket and the two-well battery, for the year loop. Every step is exact for
/// constant terminal power, and the caller can ask beforehand when a step must end.
/// Sign: terminal power > 0 discharges [kW]. Conversion losses occur outside the wells.
/// Discharging ends at the minimum SOC or, with two wells, when the available well is empty, whichever
/// comes first. Charging at constant power ends when the battery accepts less than it is offered: when it is
/// full (bucket), when the available well is full (two wells), or when the acceptance limit is reached.
/// From there on use `taper`.

inline TwoWellParameters wells(BatteryParameters const& b) {
    return {b.energy.capacity_kwh, b.available_fraction, b.exchange_per_h, b.energy.self_discharge_per_h};
}

/// Constants that the two-well formulas derive from the parameters; zeros for an energy bucket.
inline TwoWellRates<double> rates_of(BatteryParameters const& b) {
    return b.kind == BatteryKind::two_well ? rates_of(wells(b)) : TwoWellRates<double>{};
}

/// State of charge [-]; 0 for a battery of no capacity.
inline double soc(BatteryParameters const& b, BatteryState const& s) {
    return b.energy.capacity_kwh > 0 ? stored_kwh(s) / b.energy.capacity_kwh : 0;
}

/// Rate of the stored energy [kW] at constant terminal power.
inline double rate_of_stored_kw(BatteryParameters const& b, double stored_kwh, double power_kw) {
    return store_power_kw(b.energy, power_kw) - b.energy.self_discharge_per_h * stored_kwh;
}

/// First time [h] at which the stored energy is `level_kwh` at constant terminal power; 0 if now, infinity if
/// never. The two wells together follow the equation of the bucket.
inline double hours_until_stored(BatteryParameters const& b, double stored_kwh, double power_kw,
                                 double level_kwh) {
    return hours_until(b.energy, stored_kwh, power_kw, level_kwh);
}

/// The state after a long rest at a state of charge [-].
inline BatteryState at_soc(BatteryParameters const& b, double soc) {
    if (b.kind == BatteryKind::energy_bucket) return {soc * b.energy.capacity_kwh, 0};
    return at_rest(wells(b), soc * b.energy.capacity_kwh);
}

/// The state after `hours` >= 0 at constant terminal power [kW]. Pre: hours <= hours_until_limit.
/// `rates`: rates_of(b), if the caller already has them.
inline BatteryStep after(BatteryParameters const& b, TwoWellRates<double> const& rates,
                         BatteryState const& from, double power_kw, double hours) {
    if (b.kind == BatteryKind::energy_bucket) {
        EnergyStep const step = after(b.energy, from.available_kwh, power_kw, hours);
        return {{step.stored_kwh, 0}, step.loss_kwh, step.self_loss_kwh};
    }
    double const store_kw = store_power_kw(b.energy, power_kw);
    BatteryState const to = after(wells(b), rates, from, -store_kw, hours);
    double const s = b.energy.self_discharge_per_h;
    double const self_kwh = s == 0 ? 0 : stored_kwh(from) - stored_kwh(to) + store_kw * hours;
    return {to, (-power_kw - store_kw) * hours, self_kwh};
}
inline BatteryStep after(BatteryParameters const& b, BatteryState const& from, double power_kw,
                         double hours) {
    return after(b, rates_of(b), from, power_kw, hours);
}

/// Highest terminal power [kW] that the battery accepts at this moment (a magnitude), without its hardware
/// limit. With an acceptance limit this is alpha (capacity - stored); otherwise it is infinite until the
/// battery (or its available well) is full.
inline double accepted_charge_kw(BatteryParameters const& b, BatteryState const& s) {
    double constexpr unlimited = std::numeric_limits<double>::infinity();
    double const full_kwh = b.energy.capacity_kwh, slack_kwh = 1e-12 * full_kwh;
    if (b.kind == BatteryKind::two_well) {
        if (s.available_kwh < b.available_fraction * full_kwh - slack_kwh) return unlimited;
        return taper_fill_kw(wells(b), s) / b.energy.charge_efficiency;
    }
    if (b.acceptance_per_h < unlimited)
        return std::max(0.0, b.acceptance_per_h * (full_kwh - s.available_kwh)) / b.energy.charge_efficiency;
    return s.available_kwh < full_kwh - slack_kwh ? unlimited : -holding_power_kw(b.energy, full_kwh);
}

/// Stored energy [kWh] at which a battery in its taper accepts only `kw` > 0 at the terminals.
inline double level_accepting_kwh(BatteryParameters const& b, double kw) {
    double const store_kw = kw * b.energy.charge_efficiency;
    if (b.kind != BatteryKind::two_well) return b.energy.capacity_kwh - store_kw / b.acceptance_per_h;
    double const c = b.available_fraction, q = b.energy.capacity_kwh, s = b.energy.self_discharge_per_h;
    double const head = q - (store_kw - s * c * q) / (b.exchange_per_h * c * (1 - c));
    return c * q + (1 - c) * head;
}

namespace detail {
double hours_until_well_limit(BatteryParameters const& b, BatteryState const& from, double power_kw);
}

/// Time [h] until a step at constant terminal power must end; 0 if it must not begin at all (a limit counts
/// as reached within 1e-12 of capacity), infinity if it never must end. The caller must keep the hardware
/// limits, which do not depend on the state.
inline double hours_until_limit(BatteryParameters const& b, BatteryState const& from, double power_kw) {
    if (b.kind == BatteryKind::two_well) return detail::hours_until_well_limit(b, from, power_kw);
    double const limit_h = hours_until_limit(b.energy, from.available_kwh, power_kw);
    if (power_kw >= 0 || b.acceptance_per_h == std::numeric_limits<double>::infinity()) return limit_h;
    double const full_kwh = b.energy.capacity_kwh;
    double const knee_kwh = full_kwh - store_power_kw(b.energy, power_kw) / b.acceptance_per_h;
    if (from.available_kwh >= knee_kwh - 1e-12 * full_kwh) return 0;
    return std::min(limit_h, hours_until(b.energy, from.available_kwh, power_kw, knee_kwh));
}

/// Highest constant terminal power [kW] >= 0 over `hours` > 0, hardware limit included.
double max_discharge_kw(BatteryParameters const& b, BatteryState const& from, double hours);
double max_charge_kw(BatteryParameters const& b, BatteryState const& from, double hours);

/// `hours` of charging as fast as the battery accepts, from a state in which it tapers (accepted_charge_kw
/// is finite): it approaches full exponentially. The hardware limit is not applied: the caller uses the
/// taper only when it offers more than accepted_charge_kw.
BatteryTaper taper(BatteryParameters const& b, TwoWellRates<double> const& rates, BatteryState const& from,
                   double hours);
inline BatteryTaper taper(BatteryParameters const& b, BatteryState const& from, double hours) {
    return taper(b, rates_of(b), from, hours);
}

/// First time [h] in the taper at which the state of charge is `soc`; 0 if it is already that or higher,
/// infinity if the taper never reaches it.
double hours_until_soc_in_taper(BatteryParameters const& b, BatteryState const& from, double soc);

/// The state of a battery whose capacity is multiplied by `factor` >= 0, at the same state of charge.
inline BatteryState scaled(BatteryState const& s, double factor) {
    return {s.available_kwh * factor, s.bound_kwh * factor};
}

}  // namespace holdwater::models
