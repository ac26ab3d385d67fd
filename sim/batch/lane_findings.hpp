#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/batch/water_year.hpp"
#include "sim/water/pump_marks.hpp"

namespace holdwater::sim {

/// The hours a design of a lane group took alone, beside their books: what stands out of the pump, its
/// starts.
class OwnHours {
  public:
    /// `at`: hour of the run. After coupled_hour and end_hour of it; the water side's marks forgotten before.
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

/// What stands out of a design's pump over the year: the shared year's, but for its own hours.
struct PumpYear {
    PumpMarks marks;
    std::vector<double> starts_s;
    double longest_day_run_h = 0;
};
PumpYear pump_year(WaterYear const& water, OwnHours const& own);

/// PumpMarks::shortest_run_s of it, for whoever needs no more.
double shortest_run_s(WaterYear const& water, OwnHours const& own);

/// What of a design's course follows from its battery's level, hour by hour (see YearBooks and
/// find_battery_life). `soc`: at the start and at every hour's end.
void find_battery(Findings& findings, System const& system, std::vector<double> const& soc,
                  double temperature_c, double discharged_kwh);

}  // namespace holdwater::sim
