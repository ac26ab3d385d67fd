#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "models/fill_table.hpp"
#include "models/motor.hpp"
#include "models/pressure_tank.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::sim {

/// A volume of water that counts as some: far below a drop, far above rounding.
inline constexpr double some_water_m3 = 1e-9;

/// How far the water side can go before something on it changes, and what the pump draws until then.
struct WaterPlan {
    double seconds;  ///< > 0, at most the limit asked for
    double pump_w;   ///< mean over those seconds, 0 when the pump stands
};

/// Taps, pressure switch, pump and tank during a run. The supply side decides whether the pump gets its
/// power; everything wet is decided here.
///
/// An hour's demand is drawn from its start at the tap flow; then the taps are shut.
class WaterSide {
  public:
    explicit WaterSide(System const& system)
        : tank_(system.tank),
          curve_(system.fill),
          start_(system.pump_start),
          cut_in_m3_(models::stored_water_m3(system.tank, system.tank.cut_in_kpa)),
          cut_out_m3_(models::stored_water_m3(system.tank, system.tank.cut_out_kpa)),
          tank_m3_(cut_out_m3_) {
        for (auto const& node : curve_.nodes)
            if (node.water_m3 <= cut_out_m3_) peak_w_ = std::max(peak_w_, node.power_w);
        tables_.emplace_back(curve_, 0);
    }

    void begin_hour(double demand_m3, double tap_flow_m3_s) {
        double const mean_flow = demand_m3 / seconds_per_hour;
        tap_flow_m3_s_ = std::max(tap_flow_m3_s, mean_flow);
        // A demand that fills the hour must not leave a rounding sliver of shut taps.
        taps_shut_s_ = tap_flow_m3_s_ > mean_flow ? demand_m3 / tap_flow_m3_s_ : seconds_per_hour;
        demand_m3_ = demand_m3;
        delivered_m3_ = 0;
    }

    /// When the draw changes next, in seconds of the hour; infinity when it does not.
    [[nodiscard]] double next_draw_change_s(double t_s) const {
        return t_s < taps_shut_s_ ? taps_shut_s_ : std::numeric_limits<double>::infinity();
    }

    /// The pressure switch at this moment; true when it calls for the pump. `t_s` also sets the draw.
    bool look(double t_s) {
        draw_m3_s_ = t_s < taps_shut_s_ ? tap_flow_m3_s_ : 0;
        if (tank_m3_ <= cut_in_m3_) contact_closed_ = true;
        if (tank_m3_ >= cut_out_m3_) contact_closed_ = false;
        return contact_closed_;
    }

    /// Most the pump draws anywhere between empty and cut-out [W]: what a source must carry to run it.
    [[nodiscard]] double pump_peak_w() const { return peak_w_; }
    /// What its motor asks for when it starts.
    [[nodiscard]] models::StartDraw const& start() const { return start_; }
    [[nodiscard]] double tank_m3() const { return tank_m3_; }
    [[nodiscard]] double shortest_run_s() const { return std::isinf(shortest_run_s_) ? 0 : shortest_run_s_; }

    /// Starts or stops the pump. `break_supply`: a transfer has just stopped a running pump, which starts
    /// again.
    void set_running(bool running, bool break_supply, HourRecord& r) {
        if (running && running_ && break_supply) r.pump_starts += 1;
        if (running == running_) return;
        if (running) {
            r.pump_starts += 1;
            run_s_ = 0;
            whole_run_ = tank_m3_ == cut_in_m3_;
        } else if (whole_run_ && tank_m3_ == cut_out_m3_) {
            shortest_run_s_ = std::min(shortest_run_s_, run_s_);
        }
        running_ = running;
    }
    [[nodiscard]] bool running() const { return running_; }

    [[nodiscard]] WaterPlan plan(double limit_s) {
        if (running_) {
            models::FillTable const& table = table_for(draw_m3_s_);
            double const seconds = std::min(limit_s, table.time_to_reach_s(tank_m3_, cut_out_m3_));
            fill_ = table.advance(tank_m3_, seconds);
            return {seconds, fill_.energy_j / seconds};
        }
        if (!(draw_m3_s_ > 0) || tank_m3_ <= 0) return {limit_s, 0};
        double const target_m3 = tank_m3_ > cut_in_m3_ && !contact_closed_ ? cut_in_m3_ : 0;
        return {std::min(limit_s, (tank_m3_ - target_m3) / draw_m3_s_), 0};
    }

    /// Goes on by `seconds`: the planned ones, or fewer when the supply side needs it.
    void advance(double seconds, bool as_planned, HourRecord& r) {
        if (running_) {
            if (!as_planned) fill_ = table_for(draw_m3_s_).advance(tank_m3_, seconds);
            double const delivered_m3 = fill_.pumped_m3 - (fill_.water_m3 - tank_m3_);
            if (draw_m3_s_ * seconds - delivered_m3 > some_water_m3)
                r.limit_reason = static_cast<double>(LimitReason::pump_flow);
            delivered_m3_ += delivered_m3;
            r.water_pumped_m3 += fill_.pumped_m3;
            r.pump_run_h += seconds / seconds_per_hour;
            run_s_ += seconds;
            tank_m3_ = snapped(fill_.water_m3);
        } else {
            double const delivered_m3 = std::min(draw_m3_s_ * seconds, tank_m3_);
            delivered_m3_ += delivered_m3;
            tank_m3_ = snapped(tank_m3_ - delivered_m3);
        }
    }

    /// Writes the hour's totals.
    void end_hour(HourRecord& r) const {
        r.water_demand_m3 = demand_m3_;
        r.water_delivered_m3 = delivered_m3_;
        r.water_unmet_m3 = std::max(demand_m3_ - delivered_m3_, 0.0);
        r.tank_water_m3 = tank_m3_;
        r.tank_pressure_kpa = models::tank_pressure_kpa(tank_, tank_m3_);
    }

  private:
    // A tank that has reached a switch point up to rounding stands on it.
    [[nodiscard]] double snapped(double tank_m3) const {
        constexpr double slack_m3 = 1e-13;
        if (std::abs(tank_m3 - cut_in_m3_) < slack_m3) return cut_in_m3_;
        if (std::abs(tank_m3 - cut_out_m3_) < slack_m3) return cut_out_m3_;
        return tank_m3 < slack_m3 ? 0 : tank_m3;
    }

    // Draws come from a handful of tap flows; a table each, the oldest given up when they are many.
    models::FillTable const& table_for(double draw_m3_s) {
        constexpr std::size_t most = 16;
        for (auto const& table : tables_)
            if (table.demand_m3_s() == draw_m3_s) return table;
        if (tables_.size() == most) tables_.erase(tables_.begin() + 1);
        return tables_.emplace_back(curve_, draw_m3_s);
    }

    models::PressureTankParameters const& tank_;
    models::TankFillCurve const& curve_;
    models::StartDraw start_;
    double cut_in_m3_, cut_out_m3_, peak_w_ = 0;
    std::vector<models::FillTable> tables_;  // the first is for shut taps

    double tank_m3_;
    bool contact_closed_ = false, running_ = false;
    bool whole_run_ = false;  // the present run began at cut-in, so its length says something about the tank
    double run_s_ = 0, shortest_run_s_ = std::numeric_limits<double>::infinity();

    double demand_m3_ = 0, delivered_m3_ = 0, tap_flow_m3_s_ = 0, taps_shut_s_ = 0, draw_m3_s_ = 0;
    models::FillStep fill_;  // what the last plan would do
};

}  // namespace holdwater::sim
