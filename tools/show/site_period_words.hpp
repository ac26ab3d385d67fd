#pragma once

#include <string>

#include "sim/autonomy/site_period.hpp"

namespace holdwater::tools {

/// "the 7 days with the least light that 1 made year in 10 reaches (0.62 kWh/m2 a day on the array, as in
/// made year 23 from 4 Jan)"; without made years "the 7 days with the least light in the weather file (..)".
std::string site_period_text(sim::SiteCloudyPeriod const& site);

/// Days to the first shortage: "2.3", "0.25"; ">7": longer than the days that were looked at. Every table has
/// them in this form.
std::string lasting_text(double days, int looked_at_d);

/// "the 7 days with the least light of 4 recorded years (0.41 kWh/m2 a day on the array, from 12 Dec 2001)";
/// `source` is RecordedSet::source.
std::string recorded_period_text(sim::SiteCloudyPeriod const& period, std::string const& source);

}  // namespace holdwater::tools
