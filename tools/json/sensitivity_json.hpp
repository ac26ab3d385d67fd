#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/designs/sensitivity.hpp"

namespace holdwater::tools {

/// What `sensitivity --json` prints, in SI units.
nlohmann::ordered_json sensitivity_json(sim::SensitivityAnswer const& answer,
                                        std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
