#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

#include "sim/base/system.hpp"
#include "sim/supply/supply_side.hpp"

namespace holdwater::sim {

/// The small loads of an hour, and which of them are shed: first by SOC, then, if the source cannot carry all
/// of them, in the order of their classes. The loads that are shed last can be served in part.
class LoadShedding {
  public:
    explicit LoadShedding(HourlyInputs const& inputs) : in_(inputs), shed_(inputs.shed_first.size(), 0) {}

    void begin_hour(std::size_t hour) {
        hour_ = hour;
        wanted_w_ = wanted_w(hour);
    }
    [[nodiscard]] double wanted_w() const { return wanted_w_; }
    [[nodiscard]] double wanted_w(std::size_t hour) const {
        double sum_w = in_.load_w[hour];
        for (auto const& c : in_.shed_first) sum_w += c.power_w[hour];
        return sum_w;
    }

    [[nodiscard]] bool all_on() const {
        return std::all_of(shed_.begin(), shed_.end(), [](char shed) { return shed == 0; });
    }
    /// Stored energy of a battery of this capacity down to which all classes stay on; infinity if one is off
    /// now.
    [[nodiscard]] double all_on_above_kwh(double capacity_kwh) const {
        double above_kwh = 0;
        for (std::size_t i = 0; i < shed_.size(); ++i) {
            if (shed_[i] != 0) return std::numeric_limits<double>::infinity();
            above_kwh = std::max(above_kwh, in_.shed_first[i].shed_below * capacity_kwh);
        }
        return above_kwh;
    }

    /// Power that is served if `room_w` is left beside the pump.
    double served_w(double room_w, SupplySide const& supply) {
        double kept_w = in_.load_w[hour_];
        if (shed_.empty()) return std::min(kept_w, room_w);
        for (std::size_t i = 0; i < shed_.size(); ++i) {
            shed_[i] = supply.shed_by_level(in_.shed_first[i], shed_[i] != 0);
            if (shed_[i] == 0) kept_w += in_.shed_first[i].power_w[hour_];
        }
        for (std::size_t i = 0; i < shed_.size() && kept_w > room_w; ++i)
            if (shed_[i] == 0) kept_w -= in_.shed_first[i].power_w[hour_];
        return std::min(kept_w, room_w);
    }

  private:
    HourlyInputs const& in_;
    std::vector<char> shed_;
    std::size_t hour_ = 0;
    double wanted_w_ = 0;
};

}  // namespace holdwater::sim
