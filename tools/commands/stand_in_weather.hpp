#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/verdict/years_to_run.hpp"

namespace holdwater::tools {

/// --weather PATH..., --temperature-file FILE, --light-model, --years N and --seed N.
struct StandInArguments {
    std::vector<std::string> paths;
    std::string temperature_file, light_model;
    std::optional<int> made_years;
    std::optional<std::uint64_t> seed;
};

/// Adds these options; returns those that decide which years are run, --weather and --years.
std::vector<CLI::Option*> add_weather(CLI::App& command, StandInArguments& arguments);

/// The weather that these options put in place of the scenario's: one file of one year replaces its typical
/// year; several files, folders, patterns and files of many years replace its recorded years. Throws
/// weather::WeatherError.
sim::WeatherStandIn stand_in(StandInArguments const& arguments, scenarios::Scenario const& scenario);

/// The files that a command must not overwrite.
std::vector<std::string> read_paths(std::string const& scenario, StandInArguments const& arguments);

}  // namespace holdwater::tools
