#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/base/run_result.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// What designs are compared by: a year with its backup, and what sun and battery do without it.
struct DesignFigures {
    Summary year;
    Findings findings;
    double starts_per_day = 0;      ///< pump starts, mean over the year
    Autonomy autonomy;              ///< no sun, no backup, battery full at sunset
    double cloudy_period_held = 0;  ///< share of all start dates with no hour short of water when the year's
                                    ///< poorest run of days for this array comes then, from 00:00, without
                                    ///< backup, every store beginning where the design's year has it
    double cloudy_period_shortage_h =
        0;  ///< hours to the first dry one from the worst of them; infinity: none
    std::vector<std::string> warnings;
};

/// `cloudy_period_days`: length of the poorest run, 1 .. 60.
DesignFigures figures_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         int cloudy_period_days);

}  // namespace holdwater::sim
