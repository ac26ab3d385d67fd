#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::tools {

/// What `simulate --json` prints: the summary in SI units, outages, shortages and their causes.
nlohmann::ordered_json year_json(sim::RunResult const& result, std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
