#pragma once

#include <memory>
#include <span>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/batch/batch.hpp"
#include "sim/inputs/inputs_shelf.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A design and the weather of the year it is run through.
struct ScenarioYear {
    scenarios::Scenario const* scenario = nullptr;
    std::shared_ptr<weather::WeatherYear const> weather;
};

/// Runs whole years, with findings: what they have in common is made once (InputsShelf), the runs go through
/// run_batch. A year's figures depend on that year alone, to the bit. What make_inputs, make_system or
/// simulate say against one is its `problem`.
std::vector<BatchYear> run_scenario_years(std::span<ScenarioYear const> years, InputsShelf& shelf);

}  // namespace holdwater::sim
