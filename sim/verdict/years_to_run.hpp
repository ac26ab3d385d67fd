#pragma once

#include <string>
#include <vector>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// The years of a scenario's verdict: its made years with their seed, and its recorded years
/// (`weather.years`, or `other` in their place), a set for each model of the light. Throws as
/// scenarios::read_scenario_years.
DrawOptions years_to_run(scenarios::Scenario const& scenario, scenarios::OtherYears const& other = {});

/// What stands in for a scenario's weather in a study: one file of one year for its typical year, recorded
/// years for its recorded ones. Empty: its own.
struct WeatherStandIn {
    std::string file;
    scenarios::OtherYears recorded;
};

/// A set of recorded years for each model of the light. Its notes say what of the record bears on how far an
/// answer is to be trusted: years left out, chains, filled hours, a second file, levels, place.
std::vector<RecordedSet> recorded_sets(weather::RecordedYears const& record);

}  // namespace holdwater::sim
