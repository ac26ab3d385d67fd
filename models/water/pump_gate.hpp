#pragma once

#include <cmath>
#include <limits>

namespace holdwater::models {

/// When the well pump may run off the battery: within a part of the day (the sun window), or while the
/// battery stands high enough. Either suffices; with neither it may always run. On the backup it may run at
/// any time: the gate spares the battery.
///
/// Open: hour of day in [from_h, until_h), through midnight when until_h < from_h; or state of charge at or
/// above battery_above, and from then on until it is battery_band lower (hysteresis).
/// Leaves out: a timer that cuts a fill short for another reason; a gate on the array's power (a cistern's
/// filling rule has that).
struct PumpGate {
    double from_h = 0, until_h = 0;                                  ///< 0 .. < 24; equal: no part of the day
    double battery_above = std::numeric_limits<double>::infinity();  ///< 0 .. 1; infinite: no such level
    double battery_band = 0.1;                                       ///< > 0, at most battery_above
};

/// Throws ParameterError.
void validate(PumpGate const& gate);

/// `hour` since any midnight.
inline bool in_hours(PumpGate const& gate, double hour) {
    if (gate.from_h == gate.until_h) return false;
    double const time_h = hour - 24 * std::floor(hour / 24);
    bool const after = time_h >= gate.from_h, before = time_h < gate.until_h;
    return gate.from_h < gate.until_h ? after && before : after || before;
}

/// Hours until the part of the day begins or ends, > 0; infinite without one.
inline double hours_to_change(PumpGate const& gate, double hour) {
    if (gate.from_h == gate.until_h) return std::numeric_limits<double>::infinity();
    double const time_h = hour - 24 * std::floor(hour / 24);
    auto const until = [&](double at_h) { return at_h > time_h ? at_h - time_h : at_h + 24 - time_h; };
    return std::fmin(until(gate.from_h), until(gate.until_h));
}

}  // namespace holdwater::models
