#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Fills the water half of the inputs: what is wanted, the draws of each hour, what goes through the trough.
/// Animals follow the day's mean air temperature.
void add_demand(scenarios::DemandSettings const& demand, bool trough, weather::WeatherYear const& year,
                HourlyInputs& in);
inline void add_demand(scenarios::Scenario const& s, weather::WeatherYear const& year, HourlyInputs& in) {
    add_demand(s.demand, s.trough.has_value(), year, in);
}

}  // namespace holdwater::sim
