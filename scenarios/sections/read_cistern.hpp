#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [cistern] and [booster], if there are any.
void read_cistern(Section& root, Scenario& scenario);
/// Reads [trough], if there is one.
void read_trough(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
