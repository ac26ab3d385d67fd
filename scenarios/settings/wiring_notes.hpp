#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// What whoever wires the pump must keep to. Common practice, no source.
std::vector<std::string> wiring_notes(Scenario const& scenario);

}  // namespace holdwater::scenarios
