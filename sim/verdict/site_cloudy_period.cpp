#include "sim/verdict/site_cloudy_period.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <memory>

#include "sim/base/job_pool.hpp"
#include "sim/base/stop.hpp"
#include "sim/inputs/array_light.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/verdict/made_weather.hpp"
#include "weather/cloudy_periods.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::sim {
namespace {

// The seven days with the least light on the array in a year that begins on `start_day` of the calendar.
SiteCloudyPeriod lowest_days(scenarios::RackScenario const& rack, weather::WeatherYear const& year,
                             weather::SunYear const& sun, int start_day) {
    auto daily = weather::daily_energy_kwh_m2(light_on_array(rack, year, sun).light);
    std::rotate(daily.begin(), daily.begin() + start_day, daily.end());
    auto const lowest = weather::worst_cloudy_periods(daily, site_period_d).back();
    SiteCloudyPeriod site;
    site.first_day = (lowest.first_day + start_day) % days_per_year;
    site.light_kwh_m2_d = lowest.energy / site_period_d;
    site.clearness = clearness_of_days(year, sun, site.first_day, site_period_d);
    return site;
}

SiteCloudyPeriod site_cloudy_period(DrawnDesign const& design, DrawOptions const& o) {
    auto const& own_year = *design.own_year;
    auto const sun = weather::sun_over_year(own_year.site);
    scenarios::RackScenario const& rack = design.scenario;
    if (o.years == 0 || std::abs(own_year.site.latitude_deg) > weather::highest_made_latitude_deg)
        return lowest_days(rack, own_year, sun, 0);
    int const month =
        o.start_month ? *o.start_month : verdict_start_month(make_inputs(design.scenario, own_year, sun));
    int const first_hour = weather::month_start_hour[month - 1];
    auto const shelf = o.shelf ? o.shelf : std::make_shared<MadeShelf>();
    auto const made = shelf->maker(own_year, o);
    std::vector<SiteCloudyPeriod> lowest(static_cast<std::size_t>(o.years));
    for_each_job(lowest.size(), [&](std::size_t i) {
        stop_if_asked(o.stop);
        int const number = o.first + static_cast<int>(i);
        lowest[i] =
            lowest_days(rack, *shelf->years(made, number, 1, first_hour).front(), sun, first_hour / 24);
        lowest[i].number = number;
        lowest[i].years = o.years;
    });
    std::stable_sort(lowest.begin(), lowest.end(),
                     [](auto const& a, auto const& b) { return a.light_kwh_m2_d < b.light_kwh_m2_d; });
    return lowest[(lowest.size() + 9) / 10 - 1];
}

}  // namespace

std::vector<SiteCloudyPeriod> site_cloudy_periods(std::vector<DrawnDesign> const& designs,
                                                  DrawOptions const& options) {
    std::map<weather::WeatherYear const*, SiteCloudyPeriod> known;
    std::vector<SiteCloudyPeriod> sites;
    sites.reserve(designs.size());
    for (auto const& design : designs) {
        auto found = known.find(design.own_year);
        if (found == known.end())
            found = known.emplace(design.own_year, site_cloudy_period(design, options)).first;
        sites.push_back(found->second);
    }
    return sites;
}

SiteCloudyPeriod worst_recorded_period(scenarios::RackScenario const& rack, RecordedSet const& set) {
    auto const sun = weather::sun_over_year(set.chains.at(0).at(0).site);
    SiteCloudyPeriod worst;
    worst.light_kwh_m2_d = std::numeric_limits<double>::infinity();
    for (auto const& chain : set.chains) {
        std::vector<double> daily;
        for (auto const& year : chain) {
            auto const of_year = weather::daily_energy_kwh_m2(light_on_array(rack, year, sun).light);
            daily.insert(daily.end(), of_year.begin(), of_year.end());
        }
        worst.years += static_cast<int>(chain.size());
        auto const lowest = weather::worst_cloudy_periods(daily, site_period_d).back();
        if (lowest.energy / site_period_d >= worst.light_kwh_m2_d) continue;
        worst.light_kwh_m2_d = lowest.energy / site_period_d;
        auto const year_at = [&](int day) -> weather::WeatherYear const& {
            return chain[static_cast<std::size_t>(day / days_per_year)];
        };
        worst.first_day = lowest.first_day % days_per_year;
        auto const& file_year = year_at(lowest.first_day).file_year;
        worst.number = file_year.empty() ? 0 : file_year.front();
        worst.clearness.clear();
        for (int day = lowest.first_day; day < lowest.first_day + site_period_d; ++day)
            worst.clearness.push_back(clearness_of_days(year_at(day), sun, day % days_per_year, 1).front());
    }
    return worst;
}

}  // namespace holdwater::sim
