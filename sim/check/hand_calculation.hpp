#pragma once

#include "scenarios/settings/scenario.hpp"

namespace holdwater::sim {

/// What a day takes from the battery and what the battery can give, by hand from nameplates: no sun, the
/// demand of the busiest day, pumps at the middle of the pressure band, small loads at their mean, idle draw
/// and standby round the clock. DC energy [kWh].
struct DayByHand {
    double water_m3 = 0;
    double base_kwh = 0;    ///< small loads, idle draw, standby
    double pump_kwh = 0;    ///< on top of that
    double usable_kwh = 0;  ///< out of the battery's terminals, from full to its floor
};
DayByHand day_by_hand(scenarios::Scenario const& scenario);

/// Usable over a day's use; infinite when nothing is used, 0 when nothing is usable.
double days_by_hand(DayByHand const& day, double usable_kwh);

}  // namespace holdwater::sim
