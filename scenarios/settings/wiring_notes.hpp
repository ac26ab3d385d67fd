#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Instructions for the person who wires the pump. Common practice, no source.
std::vector<std::string> wiring_notes(Scenario const& scenario);

}  // namespace holdwater::scenarios
