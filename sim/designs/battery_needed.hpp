#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// Whether a design decides by the clock, the SOC, the surplus of the array or the warning of an outage when
/// it draws from the battery or fills its tanks: then the battery that it needs shows what that is worth.
bool spares_battery(scenarios::Scenario const& scenario);

/// Smallest battery with which the year of these hours, with its backup and outages, has no shortage of water
/// [kWh], within 2 %. The limits of charge and discharge change with it. 0: a 64th of the battery is enough;
/// infinity: 64 batteries are not, or the design has none.
double battery_needed_kwh(System const& system, CheckedInputs const& hourly);

}  // namespace holdwater::sim
