#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [controller]. Call it after [array]: the voltage window needs the voltages of the module.
void read_controller(Section controller, Scenario& scenario);

}  // namespace holdwater::scenarios
