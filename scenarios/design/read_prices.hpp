#pragma once

#include <toml++/toml.h>

#include "scenarios/design/prices.hpp"
#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Table [prices]. Without `purchase`, the purchase price is the sum of the parts plus `besides_parts`.
/// Without `battery_replacement`, a later battery costs as much as the battery's part. Without
/// `battery_life_years`, the run decides when the battery is replaced. Throws ScenarioError.
Prices read_prices(toml::node const& node, Scenario const& scenario);

}  // namespace holdwater::scenarios
