#pragma once

#include <toml++/toml.h>

#include "scenarios/design/prices.hpp"
#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Table [prices]. Without `purchase` the design costs what its parts cost and `besides_parts`; without
/// `battery_replacement` a later battery costs what the battery's part does; without `battery_life_years` it
/// comes when the run reckons. Throws ScenarioError.
Prices read_prices(toml::node const& node, Scenario const& scenario);

}  // namespace holdwater::scenarios
