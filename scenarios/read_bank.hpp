#pragma once

#include "scenarios/scenario.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {

/// Reads [bank] with [bank.temperature] and [bank.life].
void read_bank(Section s, Scenario& scenario);

}  // namespace holdwater::scenarios
