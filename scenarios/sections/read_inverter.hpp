#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [inverter], [charger] and [[load]].
void read_inverter_side(Section& root, Scenario& scenario);

/// Refuses a motor whose voltage the inverter does not supply. Both must have been read.
void check_motor_voltage(Section& root, Scenario const& scenario);
/// Refuses a load that follows the water of a use that does not exist. Both must have been read.
void check_load_uses(Section& root, Scenario const& scenario);

}  // namespace holdwater::scenarios
