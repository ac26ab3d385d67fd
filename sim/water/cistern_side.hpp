#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "sim/base/run_result.hpp"
#include "sim/base/water_system.hpp"

namespace holdwater::sim {

/// What the water side knows of the supply.
struct SupplyView {
    double array_w = 0, soc = 0;
    bool on_backup = false;
    double hour_of_day = 0;
    bool outage_warned = false;  ///< an outage is known to come: fill what can be filled
};

/// The cistern during a run: its volume, whether it calls for the well pump, whether a booster may draw from
/// it.
class CisternSide {
  public:
    /// `warnings`: some outages are known before they come.
    CisternSide(CisternSystem const& system, double volume_m3, bool warnings)
        : s_(&system),
          floor_m3_(models::usable_from_m3(system.cistern)),
          volume_m3_(volume_m3),
          water_(models::water_at(system.water_temperature_c)) {
        auto const& c = system.cistern;
        double const enough_m3 = c.fill_enough_m3 > 0 ? c.fill_enough_m3 : c.fill_stop_m3;
        refill_m3_ = c.fill_stop_m3 - system.fill_band_m3;
        levels_m3_ = {floor_m3_,  system.resume_m3, c.fill_start_m3, enough_m3,
                      refill_m3_, c.fill_stop_m3,   c.capacity_m3,   c.capacity_m3};
        warned_refill_m3_ = system.rule == models::FillRule::level
                                ? c.fill_stop_m3 - warned_band * (c.fill_stop_m3 - c.fill_start_m3)
                                : refill_m3_;
        if (warnings) levels_m3_.back() = warned_refill_m3_;
        least_m3_ = volume_m3_;
    }

    /// Decides whether this hour has a surplus for filling.
    void judge_surplus(SupplyView const& supply) {
        if (warned_ && !supply.outage_warned && s_->rule == models::FillRule::level) filling_ = false;
        warned_ = supply.outage_warned;
        surplus_ = warned_ || (!supply.on_backup &&
                               (supply.array_w >= s_->sun_above_w || supply.soc >= s_->battery_above_soc ||
                                s_->fill_hours.has(supply.hour_of_day)));
    }

    /// The float switch; true if it calls for the well pump.
    bool look() {
        if (volume_m3_ <= floor_m3_ + slack_m3)
            dry_ = true;
        else if (volume_m3_ >= s_->resume_m3 - slack_m3)
            dry_ = false;
        double const level_m3 = volume_m3_ >= s_->cistern.fill_stop_m3 - slack_m3 ? s_->cistern.fill_stop_m3
                                : volume_m3_ <= s_->cistern.fill_start_m3 + slack_m3
                                    ? s_->cistern.fill_start_m3
                                    : volume_m3_;
        double const enough_m3 = s_->cistern.fill_enough_m3;
        bool const there =
            s_->rule == models::FillRule::surplus_or_low && enough_m3 > 0 && level_m3 >= enough_m3 - slack_m3;
        bool const surplus =
            surplus_ && (filling_ || level_m3 <= (warned_ ? warned_refill_m3_ : refill_m3_) + slack_m3);
        // Before an outage that is known to come, a cistern that is filled by its float alone is filled to
        // its stop as well.
        auto const rule =
            warned_ && s_->rule == models::FillRule::level ? models::FillRule::surplus_or_low : s_->rule;
        filling_ = models::filling_called(s_->cistern, rule, level_m3, filling_ && !there, surplus);
        return filling_;
    }

    /// The volumes at which filling is called for or ends, at a float or with surplus. A run between two of
    /// them says something about the cistern; a run that the supply or the well cuts short does not.
    [[nodiscard]] bool at_call() const {
        return volume_m3_ <= std::max(refill_m3_, s_->cistern.fill_start_m3) + slack_m3;
    }
    [[nodiscard]] bool at_stop() const {
        return volume_m3_ >= s_->cistern.fill_stop_m3 - slack_m3 ||
               std::abs(volume_m3_ - s_->cistern.fill_enough_m3) <= slack_m3;
    }

    /// The booster may draw.
    [[nodiscard]] bool has_water() const { return !dry_; }
    [[nodiscard]] double volume_m3() const { return volume_m3_; }
    [[nodiscard]] double least_m3() const { return least_m3_; }

    /// Seconds until a volume is reached at which a rule applies, for an outflow between two values.
    [[nodiscard]] double event_s(double inflow_m3_s, double least_outflow_m3_s,
                                 double most_outflow_m3_s) const {
        double above_m3 = std::numeric_limits<double>::infinity(), below_m3 = -above_m3;
        for (double const level_m3 : levels_m3_) {
            if (level_m3 > volume_m3_ + slack_m3) above_m3 = std::min(above_m3, level_m3);
            if (level_m3 < volume_m3_ - slack_m3) below_m3 = std::max(below_m3, level_m3);
        }
        double seconds = std::numeric_limits<double>::infinity();
        if (inflow_m3_s > least_outflow_m3_s)
            seconds = (above_m3 - volume_m3_) / (inflow_m3_s - least_outflow_m3_s);
        if (most_outflow_m3_s > inflow_m3_s)
            seconds = std::min(seconds, (volume_m3_ - below_m3) / (most_outflow_m3_s - inflow_m3_s));
        return seconds;
    }

    /// Advances; the booster took `boosted_m3`.
    void advance(double filled_m3, double boosted_m3, HourRecord& r) {
        volume_m3_ += filled_m3 - boosted_m3;
        spill(r);
    }
    /// The same with taps by gravity; returns the volume that they got.
    double advance_by_gravity(double inflow_m3_s, double draw_m3_s, double seconds, HourRecord& r) {
        // Within rounding of the end of the usable volume counts as at it.
        double const from_m3 = std::abs(volume_m3_ - floor_m3_) <= slack_m3 ? floor_m3_ : volume_m3_;
        auto const step = models::advance(s_->cistern, from_m3, inflow_m3_s, draw_m3_s, seconds);
        volume_m3_ += step.volume_m3 - from_m3;
        r.water_spilled_m3 += step.spilled_m3;
        least_m3_ = std::min(least_m3_, volume_m3_);
        return step.delivered_m3;
    }

    /// Pressure at the outlet, without a booster.
    [[nodiscard]] double gravity_kpa() const {
        return models::gravity_pressure_kpa(s_->cistern, volume_m3_, s_->outlet_elevation_m, water_);
    }

    void end_hour(HourRecord& r) const { r.cistern_water_m3 = volume_m3_; }

  private:
    static constexpr double slack_m3 = 1e-6;  // a thousandth of a liter

    void spill(HourRecord& r) {
        double const over_m3 = volume_m3_ - s_->cistern.capacity_m3;
        if (over_m3 > 0) {
            r.water_spilled_m3 += over_m3;
            volume_m3_ = s_->cistern.capacity_m3;
        }
        least_m3_ = std::min(least_m3_, volume_m3_);
    }

    CisternSystem const* s_;
    std::array<double, 8> levels_m3_{};
    double refill_m3_ = 0;  // with surplus, filling starts at or below this
    double floor_m3_, volume_m3_, least_m3_ = 0;
    models::Water water_;
    double warned_refill_m3_ = 0;
    // Before an outage a cistern with a float switch is filled once it has fallen by this share of its band;
    // common practice, no source.
    static constexpr double warned_band = 0.1;
    bool filling_ = false, surplus_ = false, dry_ = false, warned_ = false;
};

}  // namespace holdwater::sim
