#pragma once

#include "scenarios/scenario.hpp"
#include "sim/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A weather year turned into the hours that drive the design: array power, small loads, water demand.
HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year);

}  // namespace holdwater::sim
