#pragma once

#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "weather/recorded_years.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

/// The scenario's own weather file, or that of its temperature and wind, does not exist or cannot be opened.
class MissingWeatherError : public ScenarioError {
    using ScenarioError::ScenarioError;
};

/// Reads the weather of the scenario by the rules of its table [weather]. If `other_path` is not empty, that
/// file is read instead (without the column map, stamp and shift, which belong to the scenario's file).
/// A warning says if the weather is from far away, from another elevation, or from the other hemisphere.
/// Throws weather::WeatherError; ScenarioError if the scenario's own file is for another part of the world;
/// MissingWeatherError with the scenario's line if its own file cannot be opened.
weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path = "");

/// What is used in place of the scenario's recorded years; empty: its own.
struct OtherYears {
    std::vector<std::string> paths;  ///< files, folders and patterns, from the working folder
    std::string temperature_path;    ///< in place of the scenario's temperature_file; empty: the scenario's
    /// In place of the scenario's models; empty: the scenario's.
    std::vector<weather::LightModel> light_models;
};

/// Reads the recorded years by the rules of the table [weather] (weather/read_recorded_years.hpp), once for
/// each irradiance model that it asks for. Stamp and shift of the scenario belong to its `file` and are not
/// used. Pre: the scenario names recorded years (recorded_paths), or `other` does. Throws the same as
/// read_scenario_weather; ScenarioError with the scenario's line for a name of its own that has no file.
weather::RecordedYears read_scenario_years(Scenario const& scenario, OtherYears const& other = {});

/// The findings on the place of recorded years ("place": far away, from another elevation) are those of this
/// scenario, in place of earlier ones. Throws ScenarioError if its own files are for another part of the
/// world.
void note_place(Scenario const& scenario, OtherYears const& other, weather::RecordedYears& record);

/// Whether `other.paths` are recorded years, and not one file of one year (weather::is_record). Throws the
/// same as read_scenario_weather.
bool is_record(Scenario const& scenario, OtherYears const& other);

/// A text of the rules for reading the weather, without the column map: equal texts give equal years.
std::string weather_reading_key(Scenario const& scenario);

}  // namespace holdwater::scenarios
