#pragma once

#include <map>
#include <memory>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

/// Reads each weather file once, whatever number of designs share it. Not for several threads at a time.
class WeatherShelf {
  public:
    /// `other_path` stands in for what the scenarios name; empty: their own.
    explicit WeatherShelf(std::string other_path = "") : other_path_(std::move(other_path)) {}
    /// The same object for scenarios that read the same file in the same way; one of its own where a column
    /// map is given. Throws as read_scenario_weather.
    std::shared_ptr<weather::WeatherYear const> of(Scenario const& scenario);

  private:
    std::string other_path_;
    std::map<std::string, std::shared_ptr<weather::WeatherYear const>> years_;
};

}  // namespace holdwater::scenarios
