#pragma once

#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"

namespace holdwater::sim {

/// Length of the site's cloudy period [days].
inline constexpr int site_period_d = 7;

/// The site's cloudy period: seven days in a row of one year. In each of many made years the seven days with
/// the least light on the array are found; of these, the site's cloudy period is the one whose light 1 year
/// in 10 falls to or below (sim/verdict/site_cloudy_period.hpp finds it).
struct SiteCloudyPeriod {
    std::vector<double> clearness;  ///< of its days, one after the other, 0 .. 0.8
    double light_kwh_m2_d = 0;      ///< on the array, mean of these days
    int first_day = 0;              ///< in its year, 0 = 1 January
    int number = 0;                 ///< number of the made year; 0: the weather file's own year
    int years = 0;                  ///< number of made years; 0: none, so the file's own lowest seven days
};

/// The days of the period moved to every start date, from 00:00.
inline CloudyPeriodWeather weather_of(SiteCloudyPeriod const& site) {
    return {CloudyPeriodKind::clearness, site.clearness, 24 * site_period_d};
}

/// The design in the site's cloudy period: the second answer to "how many days", beside Autonomy. There is no
/// backup. Everything that is stored begins as the typical year has it at that date.
struct SitePeriod {
    SiteCloudyPeriod site;
    double held = 1;       ///< share of the 365 start dates without a shortage of water
    WorstAndMedian water;  ///< days to the first shortage of water; infinity: none in the period
    WorstAndMedian power;  ///< days until the inverter switches off for the first time
    LimitReason reason = LimitReason::none;  ///< of the first shortage from the worst start date
};

/// `alone`: the period run without backup from `first_days` (run_cloudy_periods).
SitePeriod site_period_of(SiteCloudyPeriod const& site, CloudyPeriodOutcome const& alone,
                          std::vector<int> const& first_days);

}  // namespace holdwater::sim
