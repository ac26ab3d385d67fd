#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [bank] with [bank.temperature] and [bank.life].
void read_bank(Section s, Scenario& scenario);

}  // namespace holdwater::scenarios
