#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The design as the year loop needs it; pump, well, pipes and tank are solved only once.
System make_system(scenarios::Scenario const& scenario);

}  // namespace holdwater::sim
