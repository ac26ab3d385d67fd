#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// One line of a run's table: what it is about, then the text.
void labeled_line(std::string& out, std::string_view label, std::string const& text);

/// Lines on battery, inverter and generator that a designer should see only when there is something to see.
std::string supply_findings(scenarios::Scenario const& scenario, sim::RunResult const& result, Units units);

/// The table of a run of several years; "" for one. `life_stated`: else it says that nothing fades.
std::string years_table(sim::RunResult const& result, bool life_stated);

}  // namespace holdwater::tools
