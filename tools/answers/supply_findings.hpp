#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// One line of a run's table: what it is about, then the text. An empty label continues the line before.
struct SummaryLine {
    std::string label{};
    std::string text{};
};

/// Lines on battery, inverter and generator that are there only if there is something to say.
std::vector<SummaryLine> supply_findings(scenarios::Scenario const& scenario, sim::RunResult const& result,
                                         Units units);

/// The table of a run of several years; "" for one year. `life_stated`: if false, it says that the capacity
/// does not fade.
std::string years_table(sim::RunResult const& result, bool life_stated);

}  // namespace holdwater::tools
