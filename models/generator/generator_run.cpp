#include "models/generator/generator_run.hpp"

#include <algorithm>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

constexpr double not_due_h = std::numeric_limits<double>::infinity();

void require_clock(std::string_view field, double hour) {
    require(hour >= 0 && hour < 24, field, hour, "must be an hour of day, at least 0 and below 24");
}

}  // namespace

void validate(GeneratorRunParameters const& p) {
    require(p.warm_up_h >= 0, "warm_up_h", p.warm_up_h, "must be >= 0");
    require(p.cool_down_h >= 0, "cool_down_h", p.cool_down_h, "must be >= 0");
    require(p.min_run_h >= 0, "min_run_h", p.min_run_h, "must be >= 0");
    require(p.min_rest_h >= 0, "min_rest_h", p.min_rest_h, "must be >= 0");
    require_clock("quiet_from_h", p.quiet_from_h);
    require_clock("quiet_to_h", p.quiet_to_h);
    double const free_h = p.quiet_from_h == p.quiet_to_h ? 0 : hour_of_day(p.quiet_from_h - p.quiet_to_h);
    require(p.top_up_within_h >= 0 && p.top_up_within_h <= free_h, "top_up_within_h", p.top_up_within_h,
            free_h == 0 ? "needs quiet hours: it is the time before they begin"
                        : "must be at most the time from quiet_to to quiet_from");
    require_clock("attended_from_h", p.attended_from_h);
    require_clock("attended_to_h", p.attended_to_h);
    require(p.hand_response_h >= 0, "hand_response_h", p.hand_response_h, "must be >= 0");
    require(p.start_failure >= 0 && p.start_failure <= 1, "start_failure", p.start_failure,
            "must be between 0 and 1");
    require(p.crank_tries >= 1, "crank_tries", p.crank_tries, "must be at least 1");
    require(p.crank_s >= 0, "crank_s", p.crank_s, "must be >= 0");
}

double next_start_h(GeneratorRunParameters const& p, double time_h, double stopped_h, bool emergency) {
    double start_h = std::max(time_h, stopped_h + p.min_rest_h);
    if (p.started_by_hand) {
        double call_h = time_h;
        bool const always = p.attended_from_h == p.attended_to_h;
        if (!always && !in_daily_span(hour_of_day(call_h), p.attended_from_h, p.attended_to_h))
            call_h = next_clock_h(call_h, p.attended_from_h);
        start_h = std::max(start_h, call_h + p.hand_response_h);
    }
    return emergency ? start_h : next_allowed_h(p, start_h);
}

CrankResult crank(GeneratorRunParameters const& p, std::uint64_t seed) {
    for (int tries = 1;; ++tries) {
        bool const started =
            unit_interval(stream_seed(seed, 0, static_cast<std::uint64_t>(tries))) >= p.start_failure;
        if (started || tries == p.crank_tries) return {started, tries, (2 * tries - 1) * p.crank_s};
    }
}

GeneratorState begin_start(GeneratorRunParameters const& p, GeneratorState from, double time_h,
                           std::uint64_t seed) {
    if (from.phase != GeneratorPhase::off) return from;
    auto const attempt = crank(p, seed);
    from.phase = GeneratorPhase::cranking;
    from.next_h = time_h + attempt.seconds / 3600;
    from.crank_works = attempt.started;
    return from;
}

GeneratorState begin_stop(GeneratorRunParameters const& p, GeneratorState from, double time_h) {
    if (from.phase != GeneratorPhase::loaded && from.phase != GeneratorPhase::warming) return from;
    from.phase = GeneratorPhase::cooling;
    from.next_h = time_h + p.cool_down_h;
    return from;
}

GeneratorState next_phase(GeneratorRunParameters const& p, GeneratorState from) {
    double const now_h = from.next_h;
    switch (from.phase) {
        case GeneratorPhase::cranking:
            if (from.crank_works) {
                from.phase = GeneratorPhase::warming;
                from.next_h = now_h + p.warm_up_h;
                from.running_since_h = now_h;
                ++from.starts;
            } else {
                from.phase = GeneratorPhase::failed;
                from.next_h = not_due_h;
                from.stopped_h = now_h;
                ++from.failed_starts;
            }
            break;
        case GeneratorPhase::warming:
            from.phase = GeneratorPhase::loaded;
            from.next_h = not_due_h;
            break;
        case GeneratorPhase::cooling:
            from.phase = GeneratorPhase::off;
            from.next_h = not_due_h;
            from.stopped_h = now_h;
            break;
        case GeneratorPhase::off:
        case GeneratorPhase::loaded:
        case GeneratorPhase::failed:
            break;
    }
    return from;
}

GeneratorState reset(GeneratorState from, double time_h) {
    if (from.phase != GeneratorPhase::failed) return from;
    from.phase = GeneratorPhase::off;
    from.next_h = not_due_h;
    from.stopped_h = time_h;
    return from;
}

GeneratorState run_dry(GeneratorState from, double time_h) {
    from.phase = GeneratorPhase::failed;
    from.next_h = not_due_h;
    from.stopped_h = time_h;
    return from;
}

}  // namespace holdwater::models
