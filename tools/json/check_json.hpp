#pragma once

#include <nlohmann/json.hpp>

#include "scenarios/settings/scenario.hpp"
#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// What `check --json` prints: every check with its figures in SI units.
nlohmann::ordered_json check_json(scenarios::Scenario const& scenario, sim::DesignCheck const& check);

}  // namespace holdwater::tools
