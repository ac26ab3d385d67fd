#include "sim/autonomy/site_period.hpp"

namespace holdwater::sim {

SitePeriod site_period_of(SiteCloudyPeriod const& site, CloudyPeriodOutcome const& alone,
                          std::vector<int> const& first_days) {
    SitePeriod period;
    period.site = site;
    period.held = alone.survival.back();
    std::vector<double> water_h, power_h;
    for (auto const& start : alone.starts) {
        water_h.push_back(start.first_shortage_h);
        power_h.push_back(start.power_lost_h);
    }
    period.water = worst_and_median(water_h, first_days);
    period.power = worst_and_median(power_h, first_days);
    for (auto const& start : alone.starts)
        if (start.first_day == period.water.worst_day) period.reason = start.reason;
    return period;
}

}  // namespace holdwater::sim
