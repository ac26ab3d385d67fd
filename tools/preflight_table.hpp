#pragma once

#include <string>

#include "scenarios/scenario.hpp"
#include "sim/preflight.hpp"

namespace holdwater::tools {

/// The checks for a person: verdict, value, limit and margin a line, then what to change; sources at the end
/// by number. No line longer than 80 columns as long as no single word is.
std::string preflight_table(scenarios::Scenario const& scenario, sim::Preflight const& preflight);

}  // namespace holdwater::tools
