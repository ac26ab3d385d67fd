#pragma once

#include <algorithm>
#include <limits>

#include "models/water/cistern.hpp"
#include "sim/base/clock.hpp"
#include "sim/water/cistern_side.hpp"

namespace holdwater::sim {

/// A drinking trough with its float valve during a run. The valve is one more tap; the animals drink from the
/// trough evenly over the hour.
class TroughSide {
  public:
    TroughSide(models::TroughParameters const& p, double volume_m3) : p_(&p) { state_.volume_m3 = volume_m3; }

    void begin_hour(double drinking_m3) { drinking_m3_s_ = drinking_m3 / seconds_per_hour; }

    /// Decides whether this hour has a surplus for filling.
    void judge_surplus(SupplyView const& supply) {
        warned_ = supply.outage_warned;
        surplus_ = warned_ || (!supply.on_backup && (supply.soc >= p_->fill_battery_above ||
                                                     p_->fill_hours.has(supply.hour_of_day)));
    }

    /// Updates the valve; returns the flow that it draws [m3/s].
    double look() {
        if (state_.volume_m3 >= p_->full_m3 - slack_m3) state_.open = false;
        if (state_.volume_m3 <= opens_m3() + slack_m3) state_.open = true;
        return state_.open ? p_->float_flow_m3_s : 0;
    }
    [[nodiscard]] double event_s() const {
        double seconds = models::time_to_change_s(*p_, state_, drinking_m3_s_);
        if (surplus_ && !state_.open && drinking_m3_s_ > 0)
            seconds = std::min(seconds, (state_.volume_m3 - opens_m3()) / drinking_m3_s_);
        return seconds > 0 ? seconds : std::numeric_limits<double>::infinity();
    }
    /// Advances by `seconds` in which the valve let in `drawn_m3`; returns the volume that the animals drank.
    double advance(double drawn_m3, double seconds) {
        double const drunk_m3 = std::min(drinking_m3_s_ * seconds, state_.volume_m3 + drawn_m3);
        state_.volume_m3 += drawn_m3 - drunk_m3;
        return drunk_m3;
    }
    [[nodiscard]] double wanted_m3(double seconds) const { return drinking_m3_s_ * seconds; }
    [[nodiscard]] double volume_m3() const { return state_.volume_m3; }

  private:
    static constexpr double slack_m3 = 1e-6;
    [[nodiscard]] double opens_m3() const {
        if (!surplus_) return p_->open_m3;
        double const band_m3 = p_->fill_band_m3 > 0 ? p_->fill_band_m3 : 0.5 * (p_->full_m3 - p_->open_m3);
        return std::max(p_->open_m3, p_->full_m3 - band_m3);
    }

    models::TroughParameters const* p_;
    models::TroughState state_;
    double drinking_m3_s_ = 0;
    bool surplus_ = false, warned_ = false;
};

}  // namespace holdwater::sim
