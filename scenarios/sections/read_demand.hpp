#pragma once

#include <memory>

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [demand] or [[use]]. `stored` replaces the file that [demand.series] names; may be null.
void read_demand(Section& root, Scenario& scenario, std::shared_ptr<DemandSeries const> stored);

}  // namespace holdwater::scenarios
