#pragma once

#include <map>
#include <string>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/scenario.hpp"
#include "weather/recorded_years.hpp"

namespace holdwater::scenarios {

/// Reads recorded years only once for all designs that read the same files in the same way; those of a
/// scenario with a column map are read each time. The files must not change while this object exists. For one
/// thread at a time.
class RecordShelf {
  public:
    /// read_scenario_years(scenario, other). Throws the same.
    weather::RecordedYears of(Scenario const& scenario, OtherYears const& other = {});
    /// is_record(scenario, other). Throws the same.
    bool is_record(Scenario const& scenario, OtherYears const& other);

  private:
    std::map<std::string, weather::RecordedYears> records_;
    std::map<std::string, bool> is_record_;
};

}  // namespace holdwater::scenarios
