#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/designs/sensitivity.hpp"

namespace holdwater::tools {

/// What `sensitivity --json` prints, in SI units.
nlohmann::ordered_json sensitivity_json(std::vector<sim::Sensitivity> const& tried,
                                        std::vector<std::string> const& provenance);

}  // namespace holdwater::tools
