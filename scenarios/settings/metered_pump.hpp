#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Water per day that the metered energy of the pump can pump [m3]. The pump runs at its operating point
/// midway between cut-in and cut-out, for the share metered power / input power of the time. Only without a
/// cistern.
double metered_water_m3_per_day(Scenario const& scenario);

/// The warning if this water and the water entered differ by more than a factor of two: persons, liters, pump
/// watts (volt-amperes entered as watts) or the meter reading must be wrong. Empty if they agree, or if
/// nothing was metered. 50 to 100 gal per person and day is common practice, no source.
std::string metered_pump_warning(Scenario const& scenario);

}  // namespace holdwater::scenarios
