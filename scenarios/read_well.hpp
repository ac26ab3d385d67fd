#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// [well]: scenario.lift and scenario.well.
void read_well(Section s, Scenario& scenario);

}  // namespace holdwater::scenarios
