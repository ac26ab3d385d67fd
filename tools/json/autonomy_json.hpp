#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tools/answers/autonomy_table.hpp"

namespace holdwater::tools {

/// What `autonomy --json` prints, in SI units; null: longer than the period that was run.
nlohmann::ordered_json autonomy_json(AutonomyQuestion const& question,
                                     std::vector<AutonomyColumn> const& columns,
                                     std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
