#include "sim/supply/generator_control.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "models/numeric/random_stream.hpp"

namespace holdwater::sim {

void GeneratorControl::look(double now_h, bool wanted, bool emergency) {
    auto const& run = operation_.run;
    go_through_phases(now_h);
    if (now_h >= day_h_ + 24) {
        day_h_ = 24 * std::floor(now_h / 24);
        day_run_h_ = 0;
    }
    if (state_.phase == models::GeneratorPhase::failed) {
        if (now_h < repaired_h_) return;
        if (fuel_out_) fuel_l_ = set_.fuel_tank_l;
        fuel_out_ = false;
        repaired_h_ = never;
        state_ = models::reset(state_, now_h);
    }
    quiet_ = models::is_quiet(run, now_h) && !emergency;
    bool const barred = quiet_ || day_spent();
    if (models::burns_fuel(state_) && !cooling()) {
        bool const released = !wanted && now_h >= models::earliest_stop_h(run, state_.running_since_h);
        if (released || barred) {
            state_ = models::begin_stop(run, state_, now_h);
            go_through_phases(now_h);
            events_.push_back({now_h, EventKind::generator_stop, 0});
        }
    }
    if (state_.phase == models::GeneratorPhase::off) {
        if (!wanted) {
            start_h_ = never;
            return;
        }
        start_h_ = std::isinf(start_h_) || emergency != emergency_
                       ? models::next_start_h(run, now_h, state_.stopped_h, emergency)
                       : start_h_;
        emergency_ = emergency;
        if (day_spent() && start_h_ < day_h_ + 24)
            start_h_ = emergency ? day_h_ + 24 : models::next_allowed_h(run, day_h_ + 24);
        if (now_h < start_h_) return;
        start_h_ = never;
        std::uint64_t const draw = models::stream_seed(operation_.seed, 7, attempts_++);
        state_ = models::begin_start(run, state_, now_h, draw);
        events_.push_back({now_h, EventKind::generator_start, 0});
        go_through_phases(now_h);
    }
}

double GeneratorControl::next_change_h(double now_h, bool wanted) const {
    if (!used_) return never;
    double next = std::min(start_h_, models::next_top_up_change_h(operation_.run, now_h));
    // The end of a cool-down matters only if a start is wanted.
    if (!cooling() || wanted) next = std::min(next, next_phase_h(now_h));
    if (state_.phase == models::GeneratorPhase::failed) next = std::min(next, repaired_h_);
    if (models::burns_fuel(state_) && !cooling()) {
        next = std::min(next, next_quiet_boundary_h(now_h));
        if (std::isfinite(operation_.longest_day_h))
            next =
                std::min({next, now_h + std::max(operation_.longest_day_h - day_run_h_, 0.0), day_h_ + 24});
        double const stop_h = models::earliest_stop_h(operation_.run, state_.running_since_h);
        if (!wanted && stop_h > now_h) next = std::min(next, stop_h);
    }
    return next;
}

void GeneratorControl::advance(double hours, double output_w, double end_h, HourRecord& r) {
    double const until_phase_h = std::clamp(state_.next_h - (end_h - hours), 0.0, hours);
    if (cooling())
        hours = until_phase_h;
    else if (state_.phase == models::GeneratorPhase::cranking && state_.crank_works)
        hours -= until_phase_h;
    else if (!burns_fuel())
        return;
    double const fuel_l = models::fuel_l_per_h(set_, output_w) * hours;
    r.generator_run_h += hours;
    r.generator_fuel_l += fuel_l;
    day_run_h_ += hours;
    if (carries_load() && output_w < models::least_load_w(set_)) low_load_h_ += hours;
    if (set_.fuel_tank_l == 0) return;
    fuel_l_ -= fuel_l;
    if (fuel_l_ > 1e-9 * set_.fuel_tank_l) return;
    fuel_l_ = 0;
    fuel_out_ = true;
    ++fuel_outs_;
    state_ = models::run_dry(state_, end_h);
    events_.push_back({end_h, EventKind::generator_stop, 0});
    note_failure();
}

// After a crank that works, the next phase that matters is the load: the beginning of the warm-up only
// matters for the fuel.
double GeneratorControl::next_phase_h(double now_h) const {
    if (state_.phase != models::GeneratorPhase::cranking || !state_.crank_works) return state_.next_h;
    auto const& run = operation_.run;
    double const loaded_h = state_.next_h + run.warm_up_h;
    bool const undisturbed = std::isinf(operation_.longest_day_h) && !models::is_quiet(run, now_h) &&
                             models::next_quiet_h(run, now_h) >= loaded_h &&
                             models::hours_of_fuel(set_, fuel_l_, 0) > run.warm_up_h;
    return undisturbed ? loaded_h : state_.next_h;
}

void GeneratorControl::go_through_phases(double now_h) {
    while (state_.next_h <= now_h) {
        state_ = models::next_phase(operation_.run, state_);
        if (state_.phase == models::GeneratorPhase::failed) note_failure();
    }
}

}  // namespace holdwater::sim
