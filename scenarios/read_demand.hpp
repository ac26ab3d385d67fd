#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// [demand] or [[use]].
void read_demand(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
