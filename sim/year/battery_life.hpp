#pragma once

#include <vector>

#include "models/battery/battery_aging.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// A run that counts as full from this level on [-]; a fresh count below 0.02 less. Common practice, no
/// source.
inline constexpr double full_soc = 0.99;

/// What the run wears off the battery in a year: rainflow count of the hourly level against the data sheet's
/// cycles (models/battery/rainflow.hpp, models/battery/battery_aging.hpp), calendar life at the battery's
/// temperature, energy through it. Scaled to 8760 h; give whole years, a season's wear is not a year's. The
/// level between the hours' ends and cycles that end past the run are left out.
models::YearOfUse year_of_use(RunResult const& result, System const& system);
/// The same of a battery that is as warm all the time; `soc`: at the start and at every hour's end.
models::YearOfUse year_of_use(std::vector<double> const& soc, double temperature_c, double discharged_kwh,
                              BatteryLifeSettings const& life);

/// Whether the system says anything of life.
bool asks_for_life(BatteryLifeSettings const& life);

/// Years to replacement and the rule that decides; infinite when the system says nothing of life.
models::BatteryLife battery_life(RunResult const& result, System const& system);

/// Puts both into `result.findings`.
void find_battery_life(RunResult& result, System const& system);
void put_battery_life(Findings& findings, models::BatteryLife const& life);

}  // namespace holdwater::sim
