#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/designs/reliability_curves.hpp"
#include "sim/files/table_file.hpp"

namespace holdwater::tools {

/// The curves as a table and drawn: the battery that each array needs for 90, 95 and 99 % of the energy
/// demand.
std::string reliability_text(sim::ReliabilityCurves const& curves);
/// One row for each array.
sim::Table reliability_table(sim::ReliabilityCurves const& curves);
nlohmann::ordered_json reliability_json(sim::ReliabilityCurves const& curves);

}  // namespace holdwater::tools
