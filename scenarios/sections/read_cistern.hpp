#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// [cistern] and [booster], when there are any.
void read_cistern(Section& root, Scenario& scenario);
/// [trough], when there is one.
void read_trough(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
