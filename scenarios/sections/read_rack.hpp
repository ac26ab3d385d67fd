#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads the keys of [array] for the rack (fixed tilt, tilt changed by hand, or tracker) and the horizon
/// around it.
void read_rack(Section& array, Scenario& scenario);

}  // namespace holdwater::scenarios
