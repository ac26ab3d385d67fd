#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/designs/reliability_curves.hpp"
#include "sim/files/table_file.hpp"

namespace holdwater::tools {

/// The curves as a table: a line for each array, with the battery that each availability wants.
std::string reliability_table(scenarios::Scenario const& scenario,
                              std::vector<sim::ReliabilityCurve> const& curves, int years);

/// A row for each point, for --out.
sim::Table reliability_points(scenarios::Scenario const& scenario,
                              std::vector<sim::ReliabilityCurve> const& curves);

nlohmann::ordered_json reliability_json(scenarios::Scenario const& scenario,
                                        std::vector<sim::ReliabilityCurve> const& curves, int years);

}  // namespace holdwater::tools
