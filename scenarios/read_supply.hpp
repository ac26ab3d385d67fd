#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// Reads [bank], [inverter], [charger], [[load]], [backup], [generator] and [[outage]].
void read_supply_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
