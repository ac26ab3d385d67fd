#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The design as the year loop wants it: pump against well, pipes and tank solved once.
System make_system(scenarios::Scenario const& scenario);

}  // namespace holdwater::sim
