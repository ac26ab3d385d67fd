#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [battery] with [battery.temperature] and [battery.life].
void read_battery(Section s, Scenario& scenario);

}  // namespace holdwater::scenarios
