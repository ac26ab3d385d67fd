#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [controller]. Call after [array]: the voltage window needs a module that knows its voltage.
void read_controller(Section controller, Scenario& scenario);

}  // namespace holdwater::scenarios
