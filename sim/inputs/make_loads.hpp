#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Fills the small loads of the inputs hour by hour: classes by priority, duty by air temperature, by
/// thermostat or with the water, and the imbalance between the legs of a split-phase inverter or between
/// three phases (models::phase_imbalance_va; a load without a phase loads all three equally). Loads that
/// follow the water follow the demand, also where it is not delivered: they need demand_m3 and uses of the
/// inputs.
void add_loads(std::vector<scenarios::ScenarioLoad> const& loads, models::InverterParameters const& inverter,
               weather::WeatherYear const& year, HourlyInputs& inputs);
/// Whether a load follows the air temperature; whether one runs with the water.
bool follows_temperature(std::vector<scenarios::ScenarioLoad> const& loads);
bool follows_water(std::vector<scenarios::ScenarioLoad> const& loads);
inline void add_loads(scenarios::Scenario const& s, weather::WeatherYear const& year, HourlyInputs& inputs) {
    add_loads(s.loads, s.inverter, year, inputs);
}

}  // namespace holdwater::sim
