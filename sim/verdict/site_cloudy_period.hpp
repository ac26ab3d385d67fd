#pragma once

#include <vector>

#include "sim/autonomy/site_period.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// The site's cloudy period of each design, from `options.years` made years. Designs with the weather file of
/// the first one share its period, that of the first design's array, so that they are compared in the same
/// days. Each year begins on the first day of the start month (verdict_start_month), so that no winter is cut
/// in two; the period is the k-th of the years by their lowest light, k = years / 10, rounded up. Without
/// made years, and above 66 degrees of latitude where none can be made, it is the seven days with the least
/// light in the weather file. Throws the same as make_inputs, and StudyStopped.
std::vector<SiteCloudyPeriod> site_cloudy_periods(std::vector<DrawnDesign> const& designs,
                                                  DrawOptions const& options);

/// The seven days in a row with the least light on the array in recorded years; they may go from one year
/// into the next of its chain. `number` is the calendar year in which they begin, `years` counts the recorded
/// years. Pre: the set holds a year.
SiteCloudyPeriod worst_recorded_period(scenarios::RackScenario const& rack, RecordedSet const& set);

}  // namespace holdwater::sim
