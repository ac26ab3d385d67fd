#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "sim/base/clock.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/water_system.hpp"

namespace holdwater::sim {

/// The water level of the well during a run, its dry-run protection, and the pump curve that applies.
///
/// Between events the level follows exactly from the mean flow of the pump (models/water/well.hpp). Each
/// curve is for a band of levels. Neighboring bands overlap by half, so that a level that settles at an edge
/// stays in one band. When the static level changes (month, aquifer), the depth of the water stays the same,
/// because the casing keeps its water.
class WellSide {
  public:
    /// `carried`: where an earlier run left it; null: at its static level. The protection begins ready.
    WellSide(WellSystem const& system, CarriedWell const* carried) : s_(&system) {
        if (!s_->casing) return;
        rest_depth_m_ = s_->casing->static_level_m[0];
        if (carried) {
            from_earlier_run_ = true;
            drawdown_m_ = carried->level_m - rest_depth_m_;
            day_flow_m3_s_ = carried->day_flow_m3_s;
        }
        area_m2_ = models::casing_area_m2(*s_->casing);
        band_m_ = s_->band_edges_m[1] - s_->band_edges_m[0];
        trip_depth_m_ = s_->band_edges_m.back();
        deepest_m_ = depth_m();
        if (!s_->aquifer) return;
        // Residual drawdown k days after one day of pumping at 1 m3/s. It counts from noon to noon, so that
        // the drawdown of the day itself, which the specific capacity includes, is not counted twice.
        double const radius_m = 0.5 * s_->casing->casing_inside_diameter_m;
        auto const after = [&](double days) {
            return models::theis_drawdown_m(*s_->aquifer, 1, radius_m, days * 86400);
        };
        for (int k = 0; k < hours_per_year / 24; ++k)
            residual_s_m2_.push_back(after(k + 1.5) - after(k + 0.5));
    }

    /// Sets the static level of an hour.
    void begin_hour(int hour) {
        month_ = month_of_hour(hour) - 1;
        if (!s_->casing) {
            curve_ = s_->curve_of_month[static_cast<std::size_t>(month_)];
            return;
        }
        if (s_->aquifer && hours_seen_ % 24 == 0) {
            if (hours_seen_ > 0) day_flow_m3_s_.push_back(std::exchange(day_pumped_m3_, 0.0) / 86400);
            decline_m_ = 0;
            std::size_t const days = day_flow_m3_s_.size();
            for (std::size_t k = 0; k < std::min(days, residual_s_m2_.size()); ++k)
                decline_m_ += day_flow_m3_s_[days - 1 - k] * residual_s_m2_[k];
        }
        ++hours_seen_;
        double const rest_m = s_->casing->static_level_m[static_cast<std::size_t>(month_)] + decline_m_;
        if (hours_seen_ > 1 || from_earlier_run_) drawdown_m_ += rest_depth_m_ - rest_m;
        rest_depth_m_ = rest_m;
    }

    [[nodiscard]] std::size_t curve() const { return curve_; }
    [[nodiscard]] double depth_m() const { return rest_depth_m_ + drawdown_m_; }
    [[nodiscard]] double deepest_m() const { return deepest_m_; }
    [[nodiscard]] double trips() const { return trips_; }
    [[nodiscard]] double lockout_left_s() const { return lockout_s_; }
    [[nodiscard]] bool latched() const { return latched_; }

    /// Updates the protection; true if the pump may run. At its trip level the protection stops the pump for
    /// the restart delay. `tripped` is set if it has just stopped a running pump.
    bool look(bool running, bool& tripped) {
        tripped = false;
        if (!s_->casing) return true;
        if (latched_ || lockout_s_ > 0) return false;
        constexpr double slack_m = 1e-4;
        if (depth_m() < trip_depth_m_ - (running ? slack_m : 10 * slack_m)) {
            settle_band(running);
            return true;
        }
        lockout_s_ = s_->casing->restart_delay_s;
        if (running) {
            tripped = true;
            ++trips_;
            ++trips_in_a_row_;
            latched_ = s_->casing->restart_tries >= 0 && trips_in_a_row_ > s_->casing->restart_tries;
        }
        return false;
    }
    void stopped_normally() { trips_in_a_row_ = 0; }

    /// Seconds until the curve or the protection changes, with the pump at most at this flow; infinity if
    /// never.
    [[nodiscard]] double event_s(bool running, double most_flow_m3_s) const {
        constexpr double never = std::numeric_limits<double>::infinity();
        if (!s_->casing) return never;
        if (!running) return lockout_s_ > 0 && !latched_ ? lockout_s_ : never;
        auto const reach = [&](double depth_m) {
            return models::time_to_drawdown_s(*s_->casing, drawdown_m_, depth_m - rest_depth_m_,
                                              most_flow_m3_s);
        };
        double const down_s = reach(s_->band_edges_m[curve_ + 1]);
        if (curve_ == 0) return down_s;
        double const up_m = s_->band_edges_m[curve_] - 0.5 * band_m_;
        return std::min(down_s, depth_m() > up_m ? reach(up_m) : never);
    }

    /// Advances by `seconds` in which the pump took `pumped_m3` out of the casing.
    void advance(double pumped_m3, double seconds, HourRecord& r) {
        if (!s_->casing) return;
        double const before_m = drawdown_m_;
        drawdown_m_ = models::drawdown_after_m(*s_->casing, before_m, pumped_m3 / seconds, seconds);
        r.well_inflow_m3 += pumped_m3 - area_m2_ * (drawdown_m_ - before_m);
        day_pumped_m3_ += pumped_m3;
        deepest_m_ = std::max(deepest_m_, depth_m());
        lockout_s_ = lockout_s_ - seconds > 1e-9 ? lockout_s_ - seconds : 0;
    }

    void end_hour(HourRecord& r) const {
        if (s_->casing) r.well_level_m = depth_m();
    }

    /// Its state between two hours; none without a casing.
    [[nodiscard]] std::optional<CarriedWell> carried() const {
        if (!s_->casing) return std::nullopt;
        CarriedWell well{depth_m(), day_flow_m3_s_};
        if (s_->aquifer && hours_seen_ > 0) well.day_flow_m3_s.push_back(day_pumped_m3_ / 86400);
        return well;
    }

  private:
    // Sets the band of the level. A running pump keeps its band until the level has left the overlap.
    void settle_band(bool running) {
        auto const& edges = s_->band_edges_m;
        std::size_t const last = edges.size() - 2;
        double const slack_m = 1e-4 * band_m_;
        if (running) {
            if (curve_ < last && depth_m() >= edges[curve_ + 1] - slack_m)
                ++curve_;
            else if (curve_ > 0 && depth_m() <= edges[curve_] - 0.5 * band_m_ + slack_m)
                --curve_;
            return;
        }
        double const bands = std::max((depth_m() - edges[0]) / band_m_, 0.0);
        curve_ = std::min(static_cast<std::size_t>(bands), last);
    }

    WellSystem const* s_;
    int month_ = 0;
    std::size_t curve_ = 0;
    double area_m2_ = 0, band_m_ = 0, trip_depth_m_ = 0;
    double rest_depth_m_ = 0, drawdown_m_ = 0, decline_m_ = 0, lockout_s_ = 0, deepest_m_ = 0;
    double trips_ = 0;
    int trips_in_a_row_ = 0;
    bool latched_ = false, from_earlier_run_ = false;
    int hours_seen_ = 0;
    double day_pumped_m3_ = 0;
    std::vector<double> residual_s_m2_, day_flow_m3_s_;
};

}  // namespace holdwater::sim
