#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// What stands in for a scenario's weather in a study; empty: its own.
struct WeatherStandIn {
    std::string file;                   ///< of one year, for its typical year
    scenarios::OtherYears recorded;     ///< for its recorded years
    std::optional<int> made_years;      ///< in place of weather.made_years, 0 .. 100000
    std::optional<std::uint64_t> seed;  ///< in place of weather.seed
};

/// The years of a scenario's verdict: its made years with their seed, and its recorded years, a set for each
/// model of the light. Throws as scenarios::read_scenario_years.
DrawOptions years_to_run(scenarios::Scenario const& scenario, WeatherStandIn const& weather = {});

/// Whether there is any year to run.
bool any_years(DrawOptions const& options);

/// A set of recorded years for each model of the light. Its notes say what of the record bears on how far an
/// answer is to be trusted: years left out, chains, filled hours, a second file, levels, place.
std::vector<RecordedSet> recorded_sets(weather::RecordedYears const& record);

}  // namespace holdwater::sim
