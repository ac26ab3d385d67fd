#pragma once

#include <string>

#include "sim/autonomy/site_period.hpp"

namespace holdwater::tools {

/// "the 7 days with the least light that 1 made year in 10 reaches (0.62 kWh/m2 a day on the array, as in
/// made year 23 from 4 Jan)"; without made years "the 7 days with the least light in the weather file (..)".
std::string site_period_text(sim::SiteCloudyPeriod const& site);

/// "the 7 days with the least light of 4 recorded years (0.41 kWh/m2 a day on the array, from 12 Dec 2001)";
/// `source` is RecordedSet::source.
std::string recorded_period_text(sim::SiteCloudyPeriod const& period, std::string const& source);

}  // namespace holdwater::tools
