#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// Reads [well], [pump], [motor], [[pipe]], [tank] and [demand]. Checks that the pump reaches cut-out.
void read_water_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
