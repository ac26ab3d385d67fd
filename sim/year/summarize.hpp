#pragma once

#include <algorithm>
#include <span>

#include "models/battery/lead_acid_charging.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Balance error of the energy: energy from array and backup that is not accounted for, 0 except for
/// rounding. `other_losses_kwh`: controller, charger, standby, heater. `gained_kwh`: stored in the battery at
/// the end minus stored at the start.
double energy_residual_kwh(Summary const& summary, double other_losses_kwh, double gained_kwh);

/// Adds the grid energy of the hour from `now_h` on to that at the high or at the low price.
void add_by_price(scenarios::Tariff const& tariff, double now_h, double grid_kwh, double& peak_kwh,
                  double& low_kwh);

/// Counts hours short of water and the longest run of them. Hours without demand do not end a run.
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

/// Heating index of the motor by the starts of an hour with two or more (models::start_heating_index), with
/// its cycles taken as equal; 0 if the currents of the motor are not known.
double start_heating_index(HourRecord const& hour, MotorDuty const& motor);

/// Adds up the hours of a run into result.days and into all figures of result.summary and result.findings
/// that follow from the hours, including the balance errors. It does so after each day, while the hours are
/// still in the cache.
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
