#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

/// The scenario's own weather file does not exist or cannot be opened.
class MissingWeatherError : public ScenarioError {
    using ScenarioError::ScenarioError;
};

/// Reads the weather of the scenario by the rules of its table [weather]. If `other_path` is not empty, that
/// file is read instead (without the column map, stamp and shift, which belong to the scenario's file).
/// A warning says if the weather is from far away, from another elevation, or from the other hemisphere.
/// Throws weather::WeatherError; ScenarioError if the scenario's own file is for another part of the world;
/// MissingWeatherError with the scenario's line if its own file cannot be opened.
weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path = "");

/// A text of the rules by which the weather is read, without the column map: equal texts give equal years.
std::string weather_reading_key(Scenario const& scenario);

}  // namespace holdwater::scenarios
