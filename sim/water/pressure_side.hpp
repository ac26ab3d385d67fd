#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "models/numeric/expects.hpp"
#include "models/water/fill_table.hpp"
#include "models/water/pressure_tank.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The state of the pressure side during a run.
struct PressureState {
    double tank_m3 = 0, lowest_m3 = std::numeric_limits<double>::infinity();
    bool closed = false;  ///< the switch
    /// With a low-pressure cutoff: it has opened and waits until reset_s; its lever is held, or its control
    /// tries again, and cut-in is not reached yet.
    bool locked_out = false, building_up = false;
    double reset_s = std::numeric_limits<double>::infinity();
    double cutoffs = 0;
};

/// Pressure tank, pressure switch and their pump during a run. A drive acts as the switch: it wakes at
/// cut-in, holds cut-out by its speed, and sleeps if less than its sleep flow is drawn at cut-out.
class PressureSide {
  public:
    explicit PressureSide(WaterSystem const& system)
        : s_(&system),
          cut_in_m3_(models::stored_water_m3(system.tank, system.tank.cut_in_kpa)),
          cut_out_m3_(models::stored_water_m3(system.tank, system.tank.cut_out_kpa)),
          state_{system.carried_water ? system.carried_water->tank_m3 : cut_out_m3_} {
        if (s_->cutoff) cutoff_m3_ = models::stored_water_m3(s_->tank, s_->cutoff->cutoff_kpa);
        auto const peak = [&](models::TankFillCurve const& fill) {
            for (auto const& node : fill.nodes)
                if (node.water_m3 <= cut_out_m3_) peak_w_ = std::max(peak_w_, node.power_w);
        };
        if (system.pump_at_level.empty()) {
            curve_ = &system.fill;
            peak(system.fill);
        }
        for (auto const& level : system.pump_at_level) {
            peak(level.full_speed);
            for (double const w : level.hold_power_w) peak_w_ = std::max(peak_w_, w);
        }
        set_level(0);
        if (system.constant_pressure) {
            sleep_flow_m3_s_ = system.pump_at_level[0].sleep_flow_m3_s;
            standby_w_ = system.pump_at_level[0].standby_w;
        }
    }

    /// Sets the curve for the present water level of the well.
    void set_level(std::size_t level) {
        if (s_->pump_at_level.empty()) return;
        drive_ = &s_->pump_at_level[level];
        curve_ = &drive_->full_speed;
    }

    /// What happens to the low-pressure cutoff at a look: it opens, or it is reset and the pressure is back.
    enum class Cutoff { nothing, opened, reset };
    /// The low-pressure cutoff at this moment, in seconds since 00:00 on 1 January; before look().
    Cutoff look_at_cutoff(double now_s) {
        if (!s_->cutoff) return Cutoff::nothing;
        constexpr double slack_m3 = 1e-9, slack_s = 1e-6;
        if (state_.locked_out) {
            state_.building_up = now_s >= state_.reset_s - slack_s;
            state_.locked_out = !state_.building_up;
            return Cutoff::nothing;
        }
        if (state_.building_up && state_.tank_m3 >= cut_in_m3_) {
            state_.building_up = false;
            return Cutoff::reset;
        }
        if (state_.building_up || state_.tank_m3 > cutoff_m3_ + slack_m3) return Cutoff::nothing;
        ++state_.cutoffs;
        lock_out(now_s);
        return Cutoff::opened;
    }
    /// The pump does not run: a lever that is held is let go.
    void let_go(double now_s) {
        if (state_.building_up && s_->cutoff->by_hand) lock_out(now_s);
    }
    [[nodiscard]] bool locked_out() const { return state_.locked_out; }
    /// Seconds until the reset of a switch that waits for it; infinity if none does.
    [[nodiscard]] double reset_left_s(double now_s) const {
        return state_.locked_out ? std::max(state_.reset_s - now_s, 1e-6)
                                 : std::numeric_limits<double>::infinity();
    }

    /// The switch at this moment and draw; true if it calls for the pump.
    bool look(double draw_m3_s) {
        draw_m3_s_ = draw_m3_s;
        if (state_.locked_out) return state_.closed = false;
        if (state_.tank_m3 <= cut_in_m3_) state_.closed = true;
        if (state_.tank_m3 >= cut_out_m3_ && draw_m3_s < sleep_flow_m3_s_) state_.closed = false;
        return state_.closed;
    }

    [[nodiscard]] double peak_w() const { return peak_w_; }
    [[nodiscard]] double standby_w() const { return standby_w_; }
    [[nodiscard]] double tank_m3() const { return state_.tank_m3; }
    [[nodiscard]] bool at_cut_in() const { return state_.tank_m3 == cut_in_m3_; }
    [[nodiscard]] bool at_cut_out() const { return state_.tank_m3 == cut_out_m3_; }

    /// Lowest and highest pump flow until the next event.
    struct FlowRange {
        double least_m3_s = 0, most_m3_s = 0;
    };
    [[nodiscard]] FlowRange flow_range(bool running) const {
        if (!running) return {0, 0};
        if (holding()) return {draw_m3_s_, draw_m3_s_};
        double const now = models::flow_at_m3_s(*curve_, state_.tank_m3);
        if (now >= draw_m3_s_)  // the tank fills, so the flow falls toward that at cut-out, or the draw
            return {std::max(draw_m3_s_, models::flow_at_m3_s(*curve_, cut_out_m3_)), now};
        return {now, std::min(draw_m3_s_, models::flow_at_m3_s(*curve_, 0))};
    }

    /// Plans a step of at most `limit_s`, shorter if the switch acts or the tank is empty before. Then
    /// `fill()` tells what the pump does. Nothing changes until `advance`.
    double plan(bool running, double limit_s) {
        if (running) return plan_running(limit_s);
        fill_ = {};
        if (!(draw_m3_s_ > 0) || state_.tank_m3 <= 0) return limit_s;
        double const target_m3 = state_.tank_m3 > cut_in_m3_ && !state_.closed ? cut_in_m3_ : 0;
        return std::min({limit_s, (state_.tank_m3 - target_m3) / draw_m3_s_, seconds_to_cutoff(false)});
    }
    /// What the pump does in the planned step, or in `seconds` if the step is cut short.
    [[nodiscard]] models::FillStep const& fill() const { return fill_; }
    void cut_short(bool running, double seconds) {
        if (!running) return;
        if (holding())
            hold(seconds);
        else if (drive_ == nullptr)
            fill_ = table_for(draw_m3_s_).advance(state_.tank_m3, seconds, piece_);
        else
            fill_ = models::advance(*curve_, state_.tank_m3, draw_m3_s_, seconds);
    }

    /// Whether the open switch stays open while the taps draw this volume.
    [[nodiscard]] bool stays_open(double drawn_m3) const {
        return !state_.closed && state_.tank_m3 - drawn_m3 > cut_in_m3_ * (1 + 1e-9);
    }
    /// Whether the tank alone serves the taps: the switch is open and acts only at cut-in.
    [[nodiscard]] bool stands() const {
        return !state_.closed && !state_.locked_out && !state_.building_up && state_.tank_m3 > cut_in_m3_;
    }
    [[nodiscard]] double above_cut_in_m3() const { return state_.tank_m3 - cut_in_m3_; }
    /// The taps draw it while the pump is off. Pre: stands, and at most above_cut_in_m3 but for rounding.
    void give(double drawn_m3) {
        HOLDWATER_EXPECTS(stands() && drawn_m3 <= above_cut_in_m3() * (1 + 1e-9) + 1e-12);
        state_.tank_m3 = snapped(state_.tank_m3 - drawn_m3);
        state_.lowest_m3 = std::min(state_.lowest_m3, state_.tank_m3);
    }

    /// Advances; returns the volume that the taps got.
    double advance(bool running, double seconds) {
        double delivered_m3;
        if (running) {
            delivered_m3 = fill_.pumped_m3 - (fill_.water_m3 - state_.tank_m3);
            state_.tank_m3 = snapped(fill_.water_m3);
        } else {
            delivered_m3 = std::min(draw_m3_s_ * seconds, state_.tank_m3);
            state_.tank_m3 = snapped(state_.tank_m3 - delivered_m3);
        }
        state_.lowest_m3 = std::min(state_.lowest_m3, state_.tank_m3);
        return delivered_m3;
    }

    /// The fill tables of its curve, for another pressure side with the same curve.
    [[nodiscard]] std::vector<models::FillTable> const& tables() const { return tables_; }
    void set_tables(std::vector<models::FillTable> const& tables) { tables_ = tables; }

    [[nodiscard]] PressureState const& state() const { return state_; }
    /// Returns to an earlier state.
    void set(PressureState const& state) { state_ = state; }

    [[nodiscard]] double pressure_kpa() const { return models::tank_pressure_kpa(s_->tank, state_.tank_m3); }
    void forget_lowest() { state_.lowest_m3 = std::numeric_limits<double>::infinity(); }

  private:
    void lock_out(double now_s) {
        state_.locked_out = true;
        state_.building_up = false;
        state_.reset_s = models::reset_time_h(*s_->cutoff, now_s / seconds_per_hour) * seconds_per_hour;
    }
    // Until the water falls to the cutoff; infinity if it does not.
    [[nodiscard]] double seconds_to_cutoff(bool running) const {
        constexpr double never = std::numeric_limits<double>::infinity();
        if (!s_->cutoff || state_.locked_out || state_.building_up || !(state_.tank_m3 > cutoff_m3_))
            return never;
        if (!running) return (state_.tank_m3 - cutoff_m3_) / draw_m3_s_;
        return models::time_to_reach_s(*curve_, state_.tank_m3, cutoff_m3_, draw_m3_s_);
    }
    double plan_running(double limit_s) {
        limit_s = std::min(limit_s, seconds_to_cutoff(true));
        if (state_.building_up && state_.tank_m3 < cut_in_m3_)
            limit_s =
                std::min(limit_s, models::time_to_reach_s(*curve_, state_.tank_m3, cut_in_m3_, draw_m3_s_));
        if (holding()) {
            hold(limit_s);
            return limit_s;
        }
        if (drive_ == nullptr) {
            fill_ = table_for(draw_m3_s_).fill(state_.tank_m3, limit_s, piece_);
            return fill_.seconds;
        }
        fill_ = state_.tank_m3 == cut_out_m3_
                    ? models::advance(*curve_, state_.tank_m3, draw_m3_s_, limit_s)
                    : models::advance_to(*curve_, state_.tank_m3, cut_out_m3_, draw_m3_s_, limit_s);
        return fill_.seconds;
    }

    // The drive holds the tank at cut-out as long as full speed gives the draw.
    [[nodiscard]] bool holding() const {
        return s_->constant_pressure && state_.tank_m3 == cut_out_m3_ &&
               draw_m3_s_ <= models::flow_at_m3_s(*curve_, cut_out_m3_);
    }
    void hold(double seconds) {
        fill_ = {};
        fill_.water_m3 = state_.tank_m3;
        fill_.pumped_m3 = draw_m3_s_ * seconds;
        fill_.energy_j = models::hold_power_w(*drive_, draw_m3_s_) * seconds;
    }
    // A tank within rounding of a switch point is set to it.
    [[nodiscard]] double snapped(double tank_m3) const {
        constexpr double slack_m3 = 1e-13;
        if (std::abs(tank_m3 - cut_in_m3_) < slack_m3) return cut_in_m3_;
        if (std::abs(tank_m3 - cut_out_m3_) < slack_m3) return cut_out_m3_;
        return tank_m3 < slack_m3 ? 0 : tank_m3;
    }

    // There are only some different draws, more of them with single uses. Each has a table; if there are too
    // many, the oldest is dropped.
    models::FillTable const& table_for(double draw_m3_s) {
        constexpr std::size_t most = 64;
        for (auto const& table : tables_)
            if (table.demand_m3_s() == draw_m3_s) return table;
        if (tables_.size() == most)  // the table for shut taps stays
            tables_.erase(tables_.begin() + (tables_.front().demand_m3_s() == 0 ? 1 : 0));
        return tables_.emplace_back(*curve_, draw_m3_s);
    }

    WaterSystem const* s_;
    models::TankFillCurve const* curve_ = nullptr;
    models::DriveCurve const* drive_ = nullptr;  // with a moving water level or a drive
    double cut_in_m3_, cut_out_m3_, cutoff_m3_ = 0, peak_w_ = 0, standby_w_ = 0;
    double sleep_flow_m3_s_ = std::numeric_limits<double>::infinity();
    std::vector<models::FillTable> tables_;

    PressureState state_;
    double draw_m3_s_ = 0;
    std::size_t piece_ = 0;  // piece of the curve where the tank was last
    models::FillStep fill_;
};

}  // namespace holdwater::sim
