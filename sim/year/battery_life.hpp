#pragma once

#include <vector>

#include "models/battery/battery_aging.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The battery counts as full at this SOC and above [-]; it must fall 0.02 below it before it can count
/// again. Common practice, no source.
inline constexpr double full_soc = 0.99;

/// Wear of the battery in a year of the run: rainflow count of the hourly SOC with the cycles of the data
/// sheet (models/battery/rainflow.hpp, models/battery/battery_aging.hpp), calendar life at the temperature of
/// the battery, energy through it. Scaled to 8760 h; use whole years, because the wear of a season is not
/// that of a year. Leaves out: the SOC between the ends of the hours, cycles that end after the run.
models::YearOfUse year_of_use(RunResult const& result, System const& system);
/// The same for a battery with a constant temperature; `soc`: at the start and at the end of every hour.
models::YearOfUse year_of_use(std::vector<double> const& soc, double temperature_c, double discharged_kwh,
                              BatteryLifeSettings const& life);

/// Whether any input for the battery life is given.
bool asks_for_life(BatteryLifeSettings const& life);

/// Years until replacement and the rule that decides; infinite if no input for the battery life is given.
models::BatteryLife battery_life(RunResult const& result, System const& system);

/// Puts both into `result.findings`.
void find_battery_life(RunResult& result, System const& system);
void put_battery_life(Findings& findings, models::BatteryLife const& life);

}  // namespace holdwater::sim
