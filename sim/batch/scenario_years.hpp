#pragma once

#include <memory>
#include <span>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/batch/batch.hpp"
#include "sim/inputs/inputs_shelf.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A design and the weather of the year that it is run through.
struct ScenarioYear {
    scenarios::Scenario const* scenario = nullptr;
    std::shared_ptr<weather::WeatherYear const> weather;
};

/// Runs whole years with findings. What they have in common is made once (InputsShelf), and run_batch runs
/// them. The figures of a year depend on that year alone, to the bit. An error of make_inputs, make_system or
/// simulate for one of them becomes its `problem`.
std::vector<BatchYear> run_scenario_years(std::span<ScenarioYear const> years, InputsShelf& shelf);

}  // namespace holdwater::sim
