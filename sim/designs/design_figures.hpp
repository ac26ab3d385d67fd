#pragma once

#include <limits>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/site_period.hpp"
#include "sim/base/progress.hpp"
#include "sim/base/run_result.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "sim/verdict/made_years.hpp"
#include "sim/year/supply_indices.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The figures by which designs are compared: of a year with the backup, and of array and battery without it.
struct DesignFigures {
    Summary year;
    Findings findings;
    double starts_per_day = 0;  ///< pump starts, mean over the year
    Autonomy autonomy;          ///< no sun, no backup, battery full at sunset
    SitePeriod site_period;     ///< the design through the site's cloudy period, no backup
    /// battery_needed_kwh() of the year with the backup; NaN: not asked for.
    double battery_needed_kwh = std::numeric_limits<double>::quiet_NaN();
    std::vector<std::string> warnings;
};

/// The indices of the design without grid and generator over one year of these hours.
SupplyIndices indices_of(scenarios::Scenario const& scenario, CheckedInputs const& hourly);

/// `battery_needed`: also that figure, from about ten more years.
DesignFigures figures_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         SiteCloudyPeriod const& site, bool battery_needed = false);

/// Of designs that are compared: each in the site's cloudy period of these years (site_cloudy_periods), with
/// the battery that it needs if one of them spares its battery (spares_battery). If it was asked to stop
/// (DrawOptions::stop), fewer than `designs`: those that were finished.
std::vector<DesignFigures> figures_to_compare(std::vector<DrawnDesign> const& designs,
                                              DrawOptions const& years, TellShare const& progress = {});

}  // namespace holdwater::sim
