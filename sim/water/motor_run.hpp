#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "sim/base/water_system.hpp"

namespace holdwater::sim {

/// The state of a motor during a run, without the list of its starts.
struct MotorState {
    bool running = false, whole = false;
    bool rested_whole = false;  // its switch began the rest
    double run_s = 0, rest_s = std::numeric_limits<double>::infinity();
    double start_left_j = 0, start_w = 0, start_energy_j = 0;
    double shortest_run_s = std::numeric_limits<double>::infinity(), longest_run_s = 0, short_runs = 0;
    double shortest_rest_s = std::numeric_limits<double>::infinity();
    double shortest_protected_s = std::numeric_limits<double>::infinity(), short_protected = 0;
    std::size_t starts = 0;
};

/// A pump motor during a run: whether it is wanted, whether it runs, its starts and how long it ran.
///
/// The energy of a start is drawn at `start_power_w` from the moment of the start, in addition to the running
/// power. A start that is broken off does not draw the rest.
class MotorRun {
  public:
    MotorRun(MotorDuty const& duty, double peak_w) : duty_(&duty), peak_w_(peak_w) {}

    bool wanted = false;  ///< its switch calls for it, and only the supply can keep it from running

    /// Highest draw while running [W], which the source must carry.
    [[nodiscard]] double peak_w() const { return peak_w_; }
    /// Real power [W] and duration of the start, for checking the surge.
    [[nodiscard]] MotorDuty const& duty() const { return *duty_; }
    [[nodiscard]] bool running() const { return state_.running; }

    /// Seconds until the rest timer lets it start.
    [[nodiscard]] double rest_left_s() const {
        double const left_s = state_.running ? 0 : duty_->min_rest_s - state_.rest_s;
        return left_s > 1e-9 ? left_s : 0;
    }

    /// Starts or stops it. `whole`: the run begins or ends at its switch and not at a limit of the supply;
    /// only such runs say something about the tank. True if it has started.
    bool set_running(bool running, bool whole, double now_s) {
        if (running == state_.running) return false;
        state_.running = running;
        if (running) {
            if (whole && state_.rested_whole)
                state_.shortest_rest_s = std::min(state_.shortest_rest_s, state_.rest_s);
            start(now_s);
            state_.whole = whole;
        } else {
            state_.rest_s = 0;
            state_.rested_whole = whole;
            state_.start_left_j = 0;  // a start that is broken off does not draw the rest
            if (state_.whole && whole) {
                state_.shortest_run_s = std::min(state_.shortest_run_s, state_.run_s);
                if (state_.run_s < duty_->least_run_s * (1 - 1e-9)) ++state_.short_runs;
            }
        }
        return running;
    }
    /// The dry-run protection stops it. For the motor this run counts like any other, whatever began it.
    void stop_protected(double now_s) {
        state_.shortest_protected_s = std::min(state_.shortest_protected_s, state_.run_s);
        if (state_.run_s < duty_->least_run_s * (1 - 1e-9)) ++state_.short_protected;
        set_running(false, false, now_s);
    }
    /// The supply was interrupted for a moment while it ran: it starts again, or stops if it has a minimum
    /// rest. True if it has started.
    bool broken(double now_s) {
        if (!state_.running) return false;
        if (duty_->min_rest_s > 0) {
            set_running(false, false, now_s);
            return false;
        }
        start_times_s_.push_back(now_s);
        ++state_.starts;
        state_.start_left_j = duty_->start_extra_j;
        return true;
    }

    /// Remaining time of a start that is on [s]; 0 if it is over.
    [[nodiscard]] double start_left_s() const {
        return state_.running && state_.start_left_j > 0 && duty_->start_power_w > 0
                   ? state_.start_left_j / duty_->start_power_w
                   : 0;
    }

    /// Mean power of the start over the next `seconds` [W].
    double plan_start_w(double seconds) {
        state_.start_w =
            state_.start_left_j > 0 ? std::min(state_.start_left_j / seconds, duty_->start_power_w) : 0;
        return state_.start_w;
    }

    /// It does not run, so it draws nothing for a start.
    double no_start() { return state_.start_w = 0; }

    void advance(double seconds) {
        if (state_.running) {
            state_.run_s += seconds;
            state_.longest_run_s = std::max(state_.longest_run_s, state_.run_s);
        } else {
            state_.rest_s += seconds;
        }
        if (state_.start_w == 0) return;
        double const spent_j = state_.start_w * seconds;
        state_.start_energy_j += spent_j;
        state_.start_left_j = state_.start_left_j - spent_j > 1e-9 ? state_.start_left_j - spent_j : 0;
    }

    [[nodiscard]] MotorState const& state() const { return state_; }
    /// Returns to an earlier state.
    void set(MotorState const& state) {
        state_ = state;
        start_times_s_.resize(std::min(start_times_s_.size(), state.starts));
    }

    /// Clears the marks and the list of starts, so that they are those of the time from here on.
    void forget_marks() {
        constexpr double none = std::numeric_limits<double>::infinity();
        state_.shortest_run_s = state_.shortest_rest_s = none;
        state_.longest_run_s = state_.short_runs = state_.start_energy_j = 0;
        state_.starts = 0;
        start_times_s_.clear();
    }
    [[nodiscard]] std::vector<double> const& start_times_s() const { return start_times_s_; }

  private:
    void start(double now_s) {
        state_.run_s = 0;
        start_times_s_.push_back(now_s);
        ++state_.starts;
        state_.start_left_j = duty_->start_extra_j;
    }

    MotorDuty const* duty_;
    double peak_w_;
    MotorState state_;
    std::vector<double> start_times_s_;
};

}  // namespace holdwater::sim
