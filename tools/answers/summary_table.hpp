#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// The run in words and figures: the verdict first, then causes with dates, backup and fuel, the lowest SOC,
/// then the rest; the balance only if it does not close.
std::string summary_table(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::RunResult const& result, Units units, std::string const& lead = "");

}  // namespace holdwater::tools
