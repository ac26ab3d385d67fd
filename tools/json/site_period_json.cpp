#include "tools/json/site_period_json.hpp"

namespace holdwater::tools {

nlohmann::ordered_json site_period_json(sim::SiteCloudyPeriod const& site) {
    nlohmann::ordered_json json{{"days", sim::site_period_d},
                                {"light_kwh_m2_d", site.light_kwh_m2_d},
                                {"clearness", site.clearness},
                                {"first_day", site.first_day},
                                {"made_years", site.years}};
    if (site.years > 0) json["made_year"] = site.number;
    return json;
}

}  // namespace holdwater::tools
