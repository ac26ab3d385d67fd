#pragma once

#include <string>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/run_result.hpp"
#include "tools/show/screen.hpp"

namespace holdwater::tools {

/// The run day by day under `title`: lowest SOC and, if there are any, the hours short of water and the hours
/// on the backup. Empty on a screen that shows no charts.
std::string run_strip(sim::RunResult const& result, std::string const& title, Screen const& screen);

/// How long the water lasts from each start date; full height means the whole period. Empty on such a screen,
/// and for only a few start dates.
std::string cloudy_period_strip(sim::CloudyPeriodOutcome const& outcome, int hours, Screen const& screen);

}  // namespace holdwater::tools
