#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/array_light.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Makes the hourly inputs of a design from a weather year: array power, small loads, water demand.
CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year);
/// The same for a caller that already has the sun over the site of the weather.
CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun);
/// The same for a year whose days have the mean temperatures of another year: its demand is that of `own`,
/// the inputs of this design in that year.
CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun, HourlyInputs const& own);

/// Adds the array power and the warnings for it.
void add_array(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
               ArrayLight const& light, HourlyInputs& in);

}  // namespace holdwater::sim
