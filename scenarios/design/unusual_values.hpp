#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Values that are possible but seldom right, in words: outside the range usual for the trade, or at odds
/// with another value. Impossible ones never come so far: the readers refuse them.
///
/// The usual ranges are common practice unless a source stands beside them.
std::vector<std::string> unusual_values(Scenario const& scenario);

}  // namespace holdwater::scenarios
