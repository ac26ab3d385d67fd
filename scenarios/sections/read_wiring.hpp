#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads what only `holdwater check` looks at, all of it optional: [wiring], [[cable]], [check],
/// [provenance], [assumed_range] and [[waiver]]. Call last.
void read_wiring_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
