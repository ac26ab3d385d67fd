#pragma once

#include <array>

#include "models/electric/inverter.hpp"

namespace holdwater::models {

/// Overload of an inverter: how much it carries for how long, on each leg or phase, and what happens after a
/// trip.
/// Between its rows the surge table is interpolated in the logarithm of time. For times shorter than the
/// first row the ratio of that row holds (the maker promises no more); for times longer than the last row,
/// the rating. Compare volt-amperes, not watts: a motor starts at a power factor of 0.5-0.8. Leaves out:
/// derating with temperature (use a lower rating), inverters that limit the current instead of tripping.

/// Seconds for which the inverter carries a load of `ratio` times the rating, from rest: infinite up to the
/// rating, 0 above the ratio of the first row, and at most the seconds of the last row in between.
double allowed_seconds(InverterParameters const& inverter, double ratio);

/// Load that the inverter carries for `seconds`, divided by the rating; 1 without a table.
double surge_ratio(InverterParameters const& inverter, double seconds);

/// Surge rating [VA] for `seconds`, all legs together.
inline double surge_va(InverterParameters const& p, double seconds) {
    return surge_ratio(p, seconds) * p.rated_power_w;
}

/// Share of the overload allowance that is used up [-]; the inverter trips at 1.
struct OverloadState {
    double used = 0;
};

/// The state after `seconds` at an apparent power [VA]. Above the rating `used` grows by the seconds divided
/// by the allowed seconds (inverse time). At or below the rating it falls evenly, from 1 to 0 in
/// `recovery_s`.
OverloadState after(InverterParameters const& inverter, OverloadState from, double load_va, double seconds,
                    double recovery_s);

/// Loads by where they are connected; lagging reactive power positive.
struct LegLoad {
    double leg1_w = 0, leg1_var = 0;      ///< leg 1 to neutral
    double leg2_w = 0, leg2_var = 0;      ///< leg 2 to neutral
    double across_w = 0, across_var = 0;  ///< between the legs: half of it on each
};

struct LegBalance {
    double leg1_va = 0, leg2_va = 0;
    double imbalance = 0;    ///< |S1 - S2| / (S1 + S2) [-]
    double worst_ratio = 0;  ///< load of the fuller leg divided by half the rating [-]; above 1: overload
};

/// Load of each leg. A single-output inverter carries everything on one leg. A load between legs is then
/// refused with ParameterError.
LegBalance leg_balance(InverterParameters const& inverter, LegLoad const& load);

/// Loads of a three-phase inverter by where they are connected; lagging reactive power positive.
struct PhaseLoad {
    std::array<double, 3> w{}, var{};         ///< between each phase and neutral
    double balanced_w = 0, balanced_var = 0;  ///< on all three, a third on each: motors, three-phase loads
};

/// Apparent power of each phase [VA].
std::array<double, 3> phase_va(PhaseLoad const& load);

/// By how much the load of the fullest phase lowers what the inverter carries in all [W], [VA] >= 0, if what
/// it carries besides is balanced. With the rating R and the rating P of a phase: a balanced power M and the
/// single-phase loads S_p fit if |M + sum S| <= R - imbalance, because then |M / 3 + S_p| <= P on each phase.
///
///   imbalance = max(0, max_p |(3 S_p - sum S)+| - (3 P - R))
///
/// where + keeps the positive part of real and reactive power. This is exact without reactive power and on
/// the safe side with it (triangle inequality). The same holds for a motor start against the surge rating.
double phase_imbalance_va(InverterParameters const& inverter, PhaseLoad const& load);

/// What happens after a trip (common practice): the inverter restarts after 30-60 s, at most three times;
/// then it is locked out until someone resets it.
struct TripParameters {
    double restart_delay_s = 45;  ///< > 0
    int restarts = 3;             ///< automatic restarts before lock-out, >= 0
    double forget_after_s = 600;  ///< time without a trip after which the count begins again, > 0
};

struct TripState {
    int trips = 0;  ///< that count toward the lock-out
    double last_trip_s = -std::numeric_limits<double>::infinity();
    bool locked_out = false;
};

/// Throws ParameterError naming the field.
void validate(TripParameters const& parameters);

/// The state after a trip at `now_s` [s, any origin].
TripState after_trip(TripParameters const& parameters, TripState from, double now_s);

/// Time at which the output comes back [s]; infinite if locked out.
inline double restart_at_s(TripParameters const& p, TripState const& s) {
    return s.locked_out ? std::numeric_limits<double>::infinity() : s.last_trip_s + p.restart_delay_s;
}

}  // namespace holdwater::models
