#pragma once

#include <map>
#include <memory>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

/// Reads each weather file only once for all designs that use it. For one thread at a time.
class WeatherShelf {
  public:
    /// `other_path` replaces the file that the scenarios name; empty: their own file.
    explicit WeatherShelf(std::string other_path = "") : other_path_(std::move(other_path)) {}
    /// The same object for scenarios that read the same file in the same way; a new one for each scenario
    /// with a column map. Throws the same as read_scenario_weather.
    std::shared_ptr<weather::WeatherYear const> of(Scenario const& scenario);

  private:
    std::string other_path_;
    std::map<std::string, std::shared_ptr<weather::WeatherYear const>> years_;
};

}  // namespace holdwater::scenarios
