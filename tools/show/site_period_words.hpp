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

}  // namespace holdwater::tools
