#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// The run in words and figures: the answer first, then water, pump, sun, battery, loads, backup, ledgers.
std::string summary_table(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::RunResult const& result, Units units);

}  // namespace holdwater::tools
