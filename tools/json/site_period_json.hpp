#pragma once

#include <nlohmann/json.hpp>

#include "sim/autonomy/site_period.hpp"

namespace holdwater::tools {

/// The site's cloudy period: its light, its days (first_day 0: 1 January) and the made year that they are
/// from.
nlohmann::ordered_json site_period_json(sim::SiteCloudyPeriod const& site);

}  // namespace holdwater::tools
