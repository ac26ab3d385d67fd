#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Warnings, in words, for values that are possible but rarely right: outside the range that is usual in the
/// trade, or in conflict with another value. Impossible values are refused earlier, by the readers.
///
/// The usual ranges are common practice unless a source is given beside them.
std::vector<std::string> unusual_values(Scenario const& scenario);

}  // namespace holdwater::scenarios
