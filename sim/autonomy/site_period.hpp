#pragma once

#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"

namespace holdwater::sim {

/// Length of the site's cloudy period [days].
inline constexpr int site_period_d = 7;

/// The site's cloudy period: the worst 7 days of the weather file for the design's array (lowest array
/// energy; the days may go from December into January), moved to every start date, from 00:00.
inline CloudyPeriodWeather site_period_weather() {
    return {CloudyPeriodKind::worst_of_file, {}, 24 * site_period_d};
}

/// The design in the site's cloudy period: the second answer to "how many days", beside Autonomy. There is no
/// backup. Everything that is stored begins as the typical year has it at that date.
struct SitePeriod {
    int file_first_day = 0;  ///< first of these days in the weather file, 0 = 1 January
    double held = 1;         ///< share of the 365 start dates without a shortage of water
    WorstAndMedian water;    ///< days to the first shortage of water; infinity: none in the period
    WorstAndMedian power;    ///< days until the inverter switches off for the first time
    LimitReason reason = LimitReason::none;  ///< of the first shortage from the worst start date
};

/// `alone`: the period run without backup from `first_days` (run_cloudy_periods).
SitePeriod site_period_of(CloudyPeriodInputs const& inputs, CloudyPeriodOutcome const& alone,
                          std::vector<int> const& first_days);

}  // namespace holdwater::sim
