#include "tools/show/site_period_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/verdict/made_years.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {

namespace {

std::string light_text(sim::SiteCloudyPeriod const& site) {
    return fmt::format("{} kWh/m2 a day on the array", sim::figure_text(site.light_kwh_m2_d, 2));
}

}  // namespace

std::string site_period_text(sim::SiteCloudyPeriod const& site) {
    auto const light = light_text(site);
    auto const from = date_text(site.first_day);
    if (site.years == 0)
        return fmt::format("the {} days with the least light in the weather file ({}, from {})",
                           sim::site_period_d, light, from);
    return fmt::format(
        "the {} days with the least light that 1 made year in 10 reaches ({}, as in made year {} from {})",
        sim::site_period_d, light, site.number, from);
}

std::string lasting_text(double days, int looked_at_d) {
    return std::isinf(days) ? fmt::format(">{}", looked_at_d) : sim::figure_text(days, 1);
}

std::string recorded_period_text(sim::SiteCloudyPeriod const& period, std::string const& source) {
    return fmt::format("the {} days with the least light of {} recorded year{}{} ({}, from {} {})",
                       sim::site_period_d, period.years, period.years == 1 ? "" : "s",
                       sim::light_words(source), light_text(period), date_text(period.first_day),
                       period.number);
}

}  // namespace holdwater::tools
