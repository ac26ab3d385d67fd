#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "tools/answers/supply_findings.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// What a run used and had: backup and its fuel, the lowest SOC, water, pump, PV, battery, inverter, loads,
/// outages and what was found; the balance only if it does not close.
std::vector<SummaryLine> summary_lines(scenarios::Scenario const& scenario, sim::RunResult const& result,
                                       Units units);

/// The run in words and figures: the verdict first, then causes with dates, then the lines of summary_lines.
std::string summary_table(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::RunResult const& result, Units units, std::string const& lead = "");

}  // namespace holdwater::tools
