#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads the tables that only `holdwater check` uses, all of them optional: [wiring], [[cable]], [check],
/// [provenance], [assumed_range] and [[waiver]]. Call it last.
void read_wiring_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
