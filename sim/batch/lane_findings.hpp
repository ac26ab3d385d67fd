#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/batch/water_year.hpp"
#include "sim/water/pump_marks.hpp"

namespace holdwater::sim {

/// Extremes and starts of the pump in the hours that a design of a lane group ran alone.
class OwnHours {
  public:
    /// `at`: hour of the run. Call it after coupled_hour and end_hour of this hour; the extremes of the water
    /// side must have been cleared before the hour.
    void add(std::size_t at, HourRecord const& r, System const& system, WaterSide const& water);

    struct Hour {
        std::size_t at = 0;
        double run_h = 0;
        PumpMarks marks;
        std::uint32_t first_start = 0;
    };
    [[nodiscard]] std::vector<Hour> const& hours() const { return hours_; }
    [[nodiscard]] std::span<double const> starts(std::size_t i) const;

  private:
    std::vector<Hour> hours_;
    std::vector<double> starts_s_;
};

/// Extremes of a design's pump over the year: those of the shared year, except for the design's own hours.
struct PumpYear {
    PumpMarks marks;
    std::vector<double> starts_s;
    double longest_day_run_h = 0;
};
PumpYear pump_year(WaterYear const& water, OwnHours const& own);

/// Only PumpMarks::shortest_run_s of it.
double shortest_run_s(WaterYear const& water, OwnHours const& own);

/// The findings that follow from the hourly SOC of the battery (see YearBooks and find_battery_life). `soc`:
/// at the start and at the end of every hour.
void find_battery(Findings& findings, System const& system, std::vector<double> const& soc,
                  double temperature_c, double discharged_kwh);

}  // namespace holdwater::sim
