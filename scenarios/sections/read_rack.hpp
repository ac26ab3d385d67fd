#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// The keys of [array] that say how the array stands: fixed tilt, tilt changed by hand, or a turning axis,
/// and the horizon around it.
void read_rack(Section& array, Scenario& scenario);

}  // namespace holdwater::scenarios
