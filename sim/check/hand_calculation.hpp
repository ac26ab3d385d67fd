#pragma once

#include "scenarios/settings/scenario.hpp"

namespace holdwater::sim {

/// Hand calculation from nameplates of the energy that a day draws from the battery and that the battery can
/// deliver: no sun, the demand of the busiest day, pumps at the middle of the pressure band, small loads at
/// their mean, idle draw and standby all day. DC energy [kWh].
struct DayByHand {
    double water_m3 = 0;
    double base_kwh = 0;    ///< small loads, idle draw, standby
    double pump_kwh = 0;    ///< in addition to that
    double usable_kwh = 0;  ///< at the terminals of the battery, from full to minimum SOC
};
DayByHand day_by_hand(scenarios::Scenario const& scenario);

/// Energy of a cubic meter on that day [kWh/m3]; 0 without demand.
inline double kwh_per_m3_by_hand(DayByHand const& day) {
    return day.water_m3 > 0 ? day.pump_kwh / day.water_m3 : 0;
}

/// Usable energy divided by that of a day; infinite if nothing is drawn, 0 if nothing is usable.
double days_by_hand(DayByHand const& day, double usable_kwh);

}  // namespace holdwater::sim
