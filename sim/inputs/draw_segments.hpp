#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "models/water/draw_events.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The uses of water that are open in each hour of a year. A use that runs over the end of an hour, a day or
/// the year goes on in the next one; after 31 December comes 1 January of the same year.
class OpenTaps {
  public:
    /// Adds a use; its start counts from 00:00 on 1 January. Adds the volume that it draws in each hour of
    /// the year to `hourly_m3`.
    void add(models::DrawEvent const& event, std::vector<double>& hourly_m3);
    /// Adds taps that are open from the beginning of an hour of the year.
    void add_at_start(std::size_t hour, double open_s, double flow_m3_s);

    /// Fills `draws`, `first_draw` and `tap_flow_m3_s` of the inputs.
    void fill(HourlyInputs& inputs) const;

  private:
    struct Open {
        std::size_t hour = 0;  // of the year
        double from_s = 0, until_s = 0, flow_m3_s = 0;
    };
    std::vector<Open> opens_;
};

}  // namespace holdwater::sim
