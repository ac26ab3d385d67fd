#pragma once

#include <cmath>
#include <cstdint>
#include <limits>

#include "models/generator/generator.hpp"
#include "models/numeric/daily_span.hpp"
#include "models/numeric/random_stream.hpp"

namespace holdwater::models {

/// How a generator is started and stopped. Typical figures are common practice.
struct GeneratorRunParameters {
    double warm_up_h = 1.0 / 60;    ///< from running to loaded, 30-120 s
    double cool_down_h = 3.0 / 60;  ///< from unloaded to stopped, 60-300 s
    double min_run_h = 0.5;         ///< shortest time from running to unloaded, 30-60 min
    double min_rest_h = 0.25;       ///< shortest time from stopped to the next start, 10-30 min
    double quiet_from_h = 0;        ///< hour of day at which quiet hours begin [h], [0, 24)
    double quiet_to_h = 0;          ///< hour at which they end, after midnight too; the same: no quiet hours
    double top_up_within_h = 0;    ///< time before quiet hours in which a higher SOC calls the generator [h],
                                   ///< >= 0, at most back to quiet_to; 0: never
    bool started_by_hand = false;  ///< someone has to go and start it
    double hand_response_h = 0;    ///< from the call to the start [h], >= 0
    double attended_from_h = 0;    ///< hour of day from which someone answers the call [h]
    double attended_to_h = 0;      ///< hour of day until which someone does; the same hour: always
    double start_failure = 0;      ///< chance that one crank does not start it [-], [0, 1]
    int crank_tries = 3;           ///< cranks before it gives up, >= 1
    double crank_s = 10;           ///< length of a crank and of the pause after it [s]
};

/// Throws ParameterError naming the field.
void validate(GeneratorRunParameters const& parameters);

/// First time >= `time_h` at which the clock shows `hour` [h].
inline double next_clock_h(double time_h, double hour) {
    double const today_h = 24 * std::floor(time_h / 24) + hour;
    return today_h >= time_h ? today_h : today_h + 24;
}

inline bool is_quiet(GeneratorRunParameters const& p, double time_h) {
    return in_daily_span(hour_of_day(time_h), p.quiet_from_h, p.quiet_to_h);
}

/// First time >= `time_h` at which the generator may run: now, or when the quiet hours end.
inline double next_allowed_h(GeneratorRunParameters const& p, double time_h) {
    return is_quiet(p, time_h) ? next_clock_h(time_h, p.quiet_to_h) : time_h;
}

/// First time >= `time_h` that is in quiet hours; infinity if there are no quiet hours.
inline double next_quiet_h(GeneratorRunParameters const& p, double time_h) {
    if (p.quiet_from_h == p.quiet_to_h) return std::numeric_limits<double>::infinity();
    return is_quiet(p, time_h) ? time_h : next_clock_h(time_h, p.quiet_from_h);
}

/// Hour of day from which the battery is topped up before quiet hours.
inline double top_up_from_h(GeneratorRunParameters const& p) {
    return hour_of_day(p.quiet_from_h - p.top_up_within_h);
}
/// Whether the battery is topped up at this time; this ends when quiet hours begin.
inline bool is_top_up_time(GeneratorRunParameters const& p, double time_h) {
    return p.top_up_within_h > 0 && in_daily_span(hour_of_day(time_h), top_up_from_h(p), p.quiet_from_h);
}
/// First time >= `time_h` at which topping up begins or ends; infinity if there is none.
inline double next_top_up_change_h(GeneratorRunParameters const& p, double time_h) {
    if (p.top_up_within_h == 0) return std::numeric_limits<double>::infinity();
    return next_clock_h(time_h, is_top_up_time(p, time_h) ? p.quiet_from_h : top_up_from_h(p));
}

/// Time at which a start that is called for at `time_h` begins [h]. It waits until the rest since `stopped_h`
/// is over, and for the end of quiet hours unless `emergency`. A start by hand is answered in attended hours
/// only and begins after the response time; if that ends in quiet hours, it waits for their end.
double next_start_h(GeneratorRunParameters const& p, double time_h, double stopped_h, bool emergency);

/// Earliest time at which a generator that began to run at `started_h` may be unloaded [h].
inline double earliest_stop_h(GeneratorRunParameters const& p, double started_h) {
    return started_h + std::fmax(p.min_run_h, p.warm_up_h);
}

/// A start attempt.
struct CrankResult {
    bool started = false;
    int tries = 0;
    double seconds = 0;  ///< cranks and the pauses between
};

/// The attempt with this seed (see random_stream.hpp): it cranks until one crank works or no tries are left.
CrankResult crank(GeneratorRunParameters const& p, std::uint64_t seed);

enum class GeneratorPhase { off, cranking, warming, loaded, cooling, failed };

/// State of the generator. `next_h` is the time at which the phase ends by itself; infinity for off, loaded
/// and failed.
struct GeneratorState {
    GeneratorPhase phase = GeneratorPhase::off;
    double next_h = std::numeric_limits<double>::infinity();
    double running_since_h = 0;
    double stopped_h = -std::numeric_limits<double>::infinity();
    int starts = 0;         ///< successful starts
    int failed_starts = 0;  ///< attempts that were given up
    bool crank_works = false;
};

inline bool burns_fuel(GeneratorState const& s) {
    return s.phase == GeneratorPhase::warming || s.phase == GeneratorPhase::loaded ||
           s.phase == GeneratorPhase::cooling;
}
inline bool carries_load(GeneratorState const& s) { return s.phase == GeneratorPhase::loaded; }

/// Begins a start at `time_h`; only from off. The seed decides whether it works.
GeneratorState begin_start(GeneratorRunParameters const& p, GeneratorState from, double time_h,
                           std::uint64_t seed);

/// Takes the load off at `time_h` and begins to cool down; only when loaded (or warming up: an abort).
GeneratorState begin_stop(GeneratorRunParameters const& p, GeneratorState from, double time_h);

/// The state after the change at `from.next_h`.
GeneratorState next_phase(GeneratorRunParameters const& p, GeneratorState from);

/// Sets a failed generator back to off at `time_h`, because someone has been there.
GeneratorState reset(GeneratorState from, double time_h);

/// Out of fuel: the generator stops at once and counts as failed until it is reset.
GeneratorState run_dry(GeneratorState from, double time_h);

/// Hours for which `fuel_l` lasts at a constant output [W]; infinity if the fuel tank is not limited.
inline double hours_of_fuel(GeneratorParameters const& p, double fuel_l, double output_w) {
    if (p.fuel_tank_l == 0) return std::numeric_limits<double>::infinity();
    return fuel_l / fuel_l_per_h(p, output_w);
}

}  // namespace holdwater::models
