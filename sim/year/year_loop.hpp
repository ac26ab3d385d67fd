#pragma once

#include <vector>

#include "sim/inputs/checked_inputs.hpp"
#include "sim/supply/load_shedding.hpp"
#include "sim/supply/supply_side.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/quick_path.hpp"

namespace holdwater::sim {

/// Runs a design through the hours of a clock, one after the other. It keeps references to its arguments.
class YearLoop {
  public:
    YearLoop(System const& system, CheckedInputs const& inputs, Clock const& clock,
             std::vector<Event>& events)
        : water_(system, events),
          supply_(system, events),
          loads_(inputs),
          quick_(system, inputs, clock, water_, supply_, loads_) {}

    /// Runs the next hour, counted from the beginning of the first year; `r` is a new record.
    void go(int hour, HourRecord& r) { quick_.go_through(hour, r); }

    [[nodiscard]] WaterSide const& water() const { return water_; }
    [[nodiscard]] SupplySide const& supply() const { return supply_; }

  private:
    WaterSide water_;
    SupplySide supply_;
    LoadShedding loads_;
    QuickPath quick_;
};

}  // namespace holdwater::sim
