#pragma once

#include <memory>

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [well], [pump], [motor], [[pipe]], [tank] and [demand], and checks that the pump reaches cut-out.
/// `stored`: see read_demand.
void read_water_side(Section& root, Scenario& scenario, std::shared_ptr<DemandSeries const> stored);

}  // namespace holdwater::scenarios
