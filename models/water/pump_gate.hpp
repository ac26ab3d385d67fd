#pragma once

#include <cmath>
#include <limits>

#include "models/numeric/daily_span.hpp"

namespace holdwater::models {

/// When the well pump may run from the battery: in a part of the day (the sun window), while the state of
/// charge is high enough, or while the array gives more than the small loads use. One of the conditions is
/// enough; without any condition it may always run. On the backup it may run at any time, because the gate is
/// there only to save the battery.
///
/// Open: hour of day in [from_h, until_h), past midnight if until_h < from_h; or state of charge at or above
/// battery_above, and from then on until it has fallen by battery_band (hysteresis); or output of the charge
/// controller less the small loads, both means of the hour, at or above surplus_above_w.
/// Leaves out: a timer that ends a fill for another reason.
struct PumpGate {
    double from_h = 0, until_h = 0;                                  ///< 0 .. < 24; equal: no part of the day
    double battery_above = std::numeric_limits<double>::infinity();  ///< 0 .. 1; infinite: not by SOC
    double battery_band = 0.1;                                       ///< > 0, at most battery_above
    /// Surplus of the array [W], >= 0; infinite: not by surplus.
    double surplus_above_w = std::numeric_limits<double>::infinity();
};

/// Throws ParameterError.
void validate(PumpGate const& gate);

/// Whether `hour`, counted from any midnight, is in that part of the day.
inline bool in_hours(PumpGate const& gate, double hour) {
    return in_daily_span(hour_of_day(hour), gate.from_h, gate.until_h);
}

/// Hours until the part of the day begins or ends, > 0; infinite without one.
inline double hours_to_change(PumpGate const& gate, double hour) {
    if (gate.from_h == gate.until_h) return std::numeric_limits<double>::infinity();
    double const time_h = hour_of_day(hour);
    auto const until = [&](double at_h) { return at_h > time_h ? at_h - time_h : at_h + 24 - time_h; };
    return std::fmin(until(gate.from_h), until(gate.until_h));
}

}  // namespace holdwater::models
