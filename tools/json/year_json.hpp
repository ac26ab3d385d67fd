#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::tools {

/// What `simulate --json` prints: the verdict over many years on the first design (nullptr: none was asked
/// for), the summary in SI units, outages, shortages and their causes.
nlohmann::ordered_json year_json(sim::RunResult const& result, sim::DesignVerdicts const* verdicts,
                                 std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
