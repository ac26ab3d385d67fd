#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// Reads [inverter], [charger] and [[load]]: the AC side of the box and the small loads on it.
void read_inverter_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
