#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [well] into scenario.lift and scenario.well.
void read_well(Section s, Scenario& scenario);

}  // namespace holdwater::scenarios
