#include "tools/commands/stand_in_weather.hpp"

#include "tools/commands/common_options.hpp"

namespace holdwater::tools {

std::vector<CLI::Option*> add_weather(CLI::App& command, StandInArguments& arguments) {
    auto* const weather = command.add_option(
        "--weather", arguments.paths,
        "Weather file in place of the scenario's; several, folders, patterns or a file of many years are "
        "recorded years, run beside the made ones");
    add_recorded(command, arguments.temperature_file, arguments.light_model);
    auto* const made_years =
        command
            .add_option(
                "--years", arguments.made_years,
                "Made years of the verdict (default: the scenario's weather.made_years, else 50); 0: none")
            ->check(CLI::Range(0, 100000));
    command.add_option("--seed", arguments.seed,
                       "Seed of the made years, and of outages, demand and generator failures (default: the "
                       "scenario's weather.seed, else 1)");
    return {weather, made_years};
}

sim::WeatherStandIn stand_in(StandInArguments const& arguments, scenarios::Scenario const& scenario) {
    sim::WeatherStandIn weather;
    weather.made_years = arguments.made_years;
    weather.seed = arguments.seed;
    if (!arguments.light_model.empty()) weather.recorded.light_models = models_of(arguments.light_model);
    weather.recorded.temperature_path = arguments.temperature_file;
    weather.recorded.paths = arguments.paths;
    if (!arguments.paths.empty() && !scenarios::is_record(scenario, weather.recorded)) {
        weather.file = arguments.paths.at(0);
        weather.recorded.paths.clear();
    }
    return weather;
}

std::vector<std::string> read_paths(std::string const& scenario, StandInArguments const& arguments) {
    auto paths = arguments.paths;
    paths.push_back(scenario);
    if (!arguments.temperature_file.empty()) paths.push_back(arguments.temperature_file);
    return paths;
}

}  // namespace holdwater::tools
