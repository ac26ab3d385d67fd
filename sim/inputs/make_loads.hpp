#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Fills the small loads of the inputs hour by hour: classes by priority, duty by air temperature, and the
/// imbalance between the legs of a split-phase inverter.
void add_loads(std::vector<scenarios::ScenarioLoad> const& loads, int inverter_legs,
               weather::WeatherYear const& year, HourlyInputs& inputs);
inline void add_loads(scenarios::Scenario const& s, weather::WeatherYear const& year, HourlyInputs& inputs) {
    add_loads(s.loads, s.inverter.legs, year, inputs);
}

}  // namespace holdwater::sim
