#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

/// Reads the scenario's weather by the rules of its table [weather]; `other_path`, when not empty, is read in
/// place of its file (then without its column map, stamp and shift, which belong to that file).
/// Weather from far away, from another height or from the other half of the Earth is in its warnings.
/// Throws weather::WeatherError, and ScenarioError when the scenario's own file is for another part of the
/// world.
weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path = "");

/// Tells apart what is read by different rules, the column map left out: equal texts, equal years.
std::string weather_reading_key(Scenario const& scenario);

}  // namespace holdwater::scenarios
