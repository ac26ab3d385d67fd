#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "sim/year/supply_indices.hpp"

namespace holdwater::tools {

/// What `simulate --json` prints: the verdict over many years on the first design (nullptr: none was asked
/// for) with its worst year, the summary in SI units, outages, shortages and their causes, the indices of a
/// whole year.
nlohmann::ordered_json year_json(sim::RunResult const& result, sim::DesignVerdicts const* verdicts,
                                 sim::WorstYear const* worst,
                                 std::optional<sim::SupplyIndices> const& indices,
                                 std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
