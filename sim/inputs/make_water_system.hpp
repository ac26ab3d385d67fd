#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The water side of the system: pump curves at every water level, motors, cistern, trough. `starts_matter`:
/// the supply checks motor starts.
WaterSystem make_water_system(scenarios::Scenario const& scenario, bool starts_matter);

}  // namespace holdwater::sim
