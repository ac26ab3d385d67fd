#pragma once

#include <string>

#include "sim/run_result.hpp"

namespace holdwater::tools {

/// Lines on bank, inverter and generator that a designer should see only when there is something to see.
std::string supply_findings(sim::RunResult const& result);

/// The table of a run of several years; "" for one.
std::string years_table(sim::RunResult const& result);

}  // namespace holdwater::tools
