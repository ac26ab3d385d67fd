#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [array] and [controller]: from the sky to the DC bus.
void read_array_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
