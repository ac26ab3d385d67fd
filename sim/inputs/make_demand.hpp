#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Whether animals drink by the air temperature.
bool follows_temperature(scenarios::DemandSettings const& demand);

/// Fills the water side of the inputs: the demand, the draws of each hour, the water through the trough. The
/// demand of animals follows the mean air temperature of the day.
void add_demand(scenarios::DemandSettings const& demand, bool trough, weather::WeatherYear const& year,
                HourlyInputs& in);
inline void add_demand(scenarios::Scenario const& s, weather::WeatherYear const& year, HourlyInputs& in) {
    add_demand(s.demand, s.trough.has_value(), year, in);
}

}  // namespace holdwater::sim
