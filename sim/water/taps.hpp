#pragma once

#include <algorithm>
#include <limits>
#include <span>

#include "sim/base/clock.hpp"
#include "sim/base/water_system.hpp"

namespace holdwater::sim {

/// The taps of an hour: all open when it begins, and each shuts when its demand has been drawn.
class Taps {
  public:
    /// One use, drawn at `tap_flow_m3_s`, or at a higher flow through the whole hour if that is too little.
    void begin_hour(double demand_m3, double tap_flow_m3_s) {
        double const mean_flow = demand_m3 / seconds_per_hour;
        double const flow = std::max(tap_flow_m3_s, mean_flow);
        // A demand that takes the whole hour must not leave a rounding error of time with shut taps.
        only_ = {flow > mean_flow ? demand_m3 / flow : seconds_per_hour, flow};
        next_ = &only_;
        end_ = next_ + 1;
    }
    /// Several uses, with rising times.
    void begin_hour(std::span<DrawSegment const> segments) {
        next_ = segments.data();
        end_ = next_ + segments.size();
    }

    /// Flow at this moment of the hour; `t_s` does not fall within an hour.
    double draw_m3_s(double t_s) {
        while (next_ != end_ && t_s >= next_->until_s) ++next_;
        return next_ != end_ ? next_->flow_m3_s : 0;
    }
    /// Volume that they draw from `t_s` of the hour on, over `seconds` of it [m3].
    [[nodiscard]] double drawn_m3(double t_s, double seconds) const {
        double const end_s = t_s + seconds;
        double sum_m3 = 0;
        for (auto const* s = next_; s != end_ && t_s < end_s; ++s) {
            double const until_s = std::min(s->until_s, end_s);
            if (until_s > t_s) sum_m3 += s->flow_m3_s * (until_s - t_s);
            t_s = std::max(t_s, until_s);
        }
        return sum_m3;
    }

    /// Seconds from `t_s` of the hour on until they and another, constant draw have taken this volume.
    /// Infinity if that is not within `limit_s`.
    [[nodiscard]] double seconds_to_draw(double t_s, double volume_m3, double beside_m3_s,
                                         double limit_s) const {
        double from_s = t_s;
        auto const* s = next_;
        for (; s != end_ && from_s - t_s < limit_s; ++s) {
            if (s->until_s <= from_s) continue;
            double const flow_m3_s = s->flow_m3_s + beside_m3_s;
            double const drawn_m3 = flow_m3_s * (s->until_s - from_s);
            if (drawn_m3 >= volume_m3 && flow_m3_s > 0) return from_s - t_s + volume_m3 / flow_m3_s;
            volume_m3 -= drawn_m3;
            from_s = s->until_s;
        }
        return s == end_ && beside_m3_s > 0 ? from_s - t_s + volume_m3 / beside_m3_s
                                            : std::numeric_limits<double>::infinity();
    }

    /// Time at which the draw changes next, in seconds of the hour; infinity if it does not.
    [[nodiscard]] double next_change_s(double t_s) const {
        for (auto const* s = next_; s != end_; ++s)
            if (t_s < s->until_s) return s->until_s;
        return std::numeric_limits<double>::infinity();
    }

  private:
    DrawSegment only_{};
    DrawSegment const *next_ = nullptr, *end_ = nullptr;
};

}  // namespace holdwater::sim
