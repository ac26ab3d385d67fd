#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "sim/water_system.hpp"

namespace holdwater::sim {

/// A pump motor during a run: whether it is wanted, whether it turns, its starts and how long it ran.
///
/// The energy of a start is spent at `start_power_w` from the moment of the start, on top of the running
/// power.
class MotorRun {
  public:
    MotorRun(MotorDuty const& duty, double peak_w) : duty_(&duty), peak_w_(peak_w) {}

    bool wanted = false;  ///< its switch calls for it and nothing but power keeps it from running

    /// Most it draws running [W]: what a source must carry.
    [[nodiscard]] double peak_w() const { return peak_w_; }
    /// Real power [W] and duration of the start, for whoever checks the surge.
    [[nodiscard]] MotorDuty const& duty() const { return *duty_; }
    [[nodiscard]] bool running() const { return running_; }

    /// Seconds until the rest timer lets it start.
    [[nodiscard]] double rest_left_s() const {
        double const left_s = running_ ? 0 : duty_->min_rest_s - rest_s_;
        return left_s > 1e-9 ? left_s : 0;
    }

    /// Starts or stops it. `whole` says that a run begins or ends at its switch, not at a limit of the
    /// supply: only such runs say something about the tank. True when it has started.
    bool set_running(bool running, bool whole, double now_s) {
        if (running == running_) return false;
        running_ = running;
        if (running) {
            if (whole && rested_whole_) shortest_rest_s_ = std::min(shortest_rest_s_, rest_s_);
            start(now_s);
            whole_ = whole;
        } else {
            rest_s_ = 0;
            rested_whole_ = whole;
            if (whole_ && whole) {
                shortest_run_s_ = std::min(shortest_run_s_, run_s_);
                if (run_s_ < duty_->least_run_s * (1 - 1e-9)) ++short_runs_;
            }
        }
        return running;
    }
    /// The supply was broken for a moment while it ran: it starts once more, or stops when a timer makes it
    /// rest. True when it has started.
    bool broken(double now_s) {
        if (!running_) return false;
        if (duty_->min_rest_s > 0) {
            set_running(false, false, now_s);
            return false;
        }
        start_times_s_.push_back(now_s);
        start_left_j_ += duty_->start_extra_j;
        return true;
    }

    /// Mean power of the start over the next `seconds` [W].
    double plan_start_w(double seconds) {
        start_w_ = start_left_j_ > 0 ? std::min(start_left_j_ / seconds, duty_->start_power_w) : 0;
        return start_w_;
    }

    /// It stands: nothing of a start is spent.
    double no_start() { return start_w_ = 0; }

    void advance(double seconds) {
        if (running_) {
            run_s_ += seconds;
            longest_run_s_ = std::max(longest_run_s_, run_s_);
        } else {
            rest_s_ += seconds;
        }
        if (start_w_ == 0) return;
        double const spent_j = start_w_ * seconds;
        start_energy_j_ += spent_j;
        start_left_j_ = start_left_j_ - spent_j > 1e-9 ? start_left_j_ - spent_j : 0;
    }

    [[nodiscard]] double shortest_run_s() const {
        return shortest_run_s_ == std::numeric_limits<double>::infinity() ? 0 : shortest_run_s_;
    }
    [[nodiscard]] double shortest_rest_s() const {
        return shortest_rest_s_ == std::numeric_limits<double>::infinity() ? 0 : shortest_rest_s_;
    }
    [[nodiscard]] double longest_run_s() const { return longest_run_s_; }
    [[nodiscard]] double short_runs() const { return short_runs_; }
    [[nodiscard]] double start_energy_j() const { return start_energy_j_; }
    [[nodiscard]] std::vector<double> const& start_times_s() const { return start_times_s_; }

  private:
    void start(double now_s) {
        run_s_ = 0;
        start_times_s_.push_back(now_s);
        start_left_j_ += duty_->start_extra_j;
    }

    MotorDuty const* duty_;
    double peak_w_;
    bool running_ = false, whole_ = false, rested_whole_ = false;
    double run_s_ = 0, rest_s_ = std::numeric_limits<double>::infinity();
    double start_left_j_ = 0, start_w_ = 0, start_energy_j_ = 0;
    double shortest_run_s_ = std::numeric_limits<double>::infinity(), longest_run_s_ = 0, short_runs_ = 0;
    double shortest_rest_s_ = std::numeric_limits<double>::infinity();
    std::vector<double> start_times_s_;
};

}  // namespace holdwater::sim
