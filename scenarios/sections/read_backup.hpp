#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads [backup], [second_backup], [tariff], [generator], [[outage]], [outage_statistics] and [[bypass]].
/// Battery, inverter and charger must have been read.
void read_backup_side(Section& root, Scenario& scenario);

}  // namespace holdwater::scenarios
