#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [inverter], [charger] and [[load]]: the AC side of the box and the small loads on it.
void read_inverter_side(Section& root, Scenario& scenario);

/// Refuses a motor whose voltage the inverter does not make; when both are read.
void check_motor_voltage(Section& root, Scenario const& scenario);

}  // namespace holdwater::scenarios
