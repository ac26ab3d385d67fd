#pragma once

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/array_light.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A weather year turned into the hours that drive the design: array power, small loads, water demand.
CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year);
/// The sun's year over the weather's site, for whoever has it.
CheckedInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun);

/// The array's half of it, and what it has to tell.
void add_array(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
               ArrayLight const& light, HourlyInputs& in);

}  // namespace holdwater::sim
