#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tools/answers/comparison.hpp"

namespace holdwater::tools {

/// What `compare --json` prints, in SI units; null: longer than the period that was run.
nlohmann::ordered_json comparison_json(Comparison const& comparison,
                                       std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
