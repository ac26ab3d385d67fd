#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// Water a day that the pump's metered energy brings [m3]: its operating point midway between cut-in and
/// cut-out, running metered power / input power of the time. Without a cistern only.
double metered_water_m3_per_day(Scenario const& scenario);

/// What to say when that and the water entered do not belong together, more than a factor of two apart: one
/// of persons, liters, pump watts (volt-amperes entered as watts) or the meter's reading is wrong. Empty when
/// they do, or when nothing was metered. Persons by 50 to 100 gal each a day: common practice, no source.
std::string metered_pump_warning(Scenario const& scenario);

}  // namespace holdwater::scenarios
