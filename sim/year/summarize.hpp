#pragma once

#include <algorithm>
#include <span>

#include "models/battery/lead_acid_charging.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// What came from sun and backup and went nowhere: 0 but for rounding. `other_losses_kwh`: controller,
/// charger, standby, heater; `gained_kwh`: what the battery holds more than at the start.
double energy_residual_kwh(Summary const& summary, double other_losses_kwh, double gained_kwh);

/// Hours in which some wanted water did not come, one after the other; those without demand between two do
/// not break a run of them.
struct ShortageHours {
    double hours = 0, longest_h = 0;
    void add(bool dry, bool wanted) {
        if (dry) {
            hours += 1;
            run_h += 1;
            longest_h = std::max(longest_h, run_h);
        } else if (wanted) {
            run_h = 0;
        } else if (run_h > 0) {
            run_h += 1;
        }
    }
    double run_h = 0;
};

/// How hot the starts of an hour of two or more make the motor (models::start_heating_index), its cycles
/// taken as equal; 0 where the motor's currents are not known.
double start_heating_index(HourRecord const& hour, MotorDuty const& motor);

/// Adds up a run's hours into result.days, every figure of result.summary that follows from the hours, the
/// ledgers' residuals among them, and those of result.findings that do. A day at a time, so that the hours
/// are read while they are still near the processor.
class YearBooks {
  public:
    YearBooks(RunResult& result, System const& system, RunStart const& start);

    /// The next hours, at most a day of them.
    void add_day(std::span<HourRecord const> hours);
    /// After the last day.
    void finish();

  private:
    RunResult& result_;
    System const& s_;
    RunStart start_;
    double hours_ = 0, end_water_m3_ = 0, end_stored_kwh_ = 0;
    double other_losses_kwh_ = 0, pumped_m3_ = 0, spilled_m3_ = 0, soc_sum_ = 0;
    ShortageHours dry_;
    models::FullChargeAccount full_;
};

}  // namespace holdwater::sim
