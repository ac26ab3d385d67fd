#pragma once

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tools/report/report_show.hpp"
#include "tools/show/units.hpp"
#include "weather/light_model.hpp"

namespace holdwater::tools {

/// --units metric|us.
inline void add_units(
    CLI::App& command, std::optional<Units>& units,
    std::string const& what = "Units of the table (default: the scenario's `units`, else metric)") {
    auto const take = [&units](std::string const& text) {
        if (text != "us" && text != "metric")
            throw CLI::ValidationError(
                "--units", fmt::format("\"{}\" is no system of units; accepted: metric, us", text));
        units = text == "us" ? Units::us : Units::metric;
    };
    command.add_option_function<std::string>("--units", take, what)->option_text("metric|us");
}

/// --units metric|us|both, of commands that write a page.
inline void add_page_units(CLI::App& command, std::optional<ReportUnits>& units, std::string const& what) {
    command.add_option("--units", units, what)
        ->transform(CLI::CheckedTransformer(std::vector<std::pair<std::string, ReportUnits>>{
            {"metric", ReportUnits::metric}, {"us", ReportUnits::us}, {"both", ReportUnits::both}}))
        ->option_text("metric|us|both");
}

/// --temperature-file FILE and --light-model: how recorded years are read.
inline void add_recorded(CLI::App& command, std::string& temperature_file, std::string& light_model) {
    command
        .add_option(
            "--temperature-file", temperature_file,
            "File with temperature and wind (by date and hour), and the place, for weather files that "
            "lack them; one year, such as the typical year, or many")
        ->option_text("FILE");
    command
        .add_option(
            "--light-model", light_model,
            "Which irradiance model to use from files that hold several: both (SUNY, from satellites, and "
            "METSTAT, from clouds), one of them, or measured values")
        ->check(CLI::IsMember({"both", "suny", "metstat", "measured"}))
        ->option_text("both|suny|metstat|measured");
}

/// The models that a value of --light-model stands for.
inline std::vector<weather::LightModel> models_of(std::string const& light_model) {
    using weather::LightModel;
    if (light_model == "suny") return {LightModel::suny};
    if (light_model == "metstat") return {LightModel::metstat};
    if (light_model == "measured") return {LightModel::measured};
    return {LightModel::suny, LightModel::metstat};
}

/// --threads N.
inline void add_threads(CLI::App& command, int& threads) {
    command
        .add_option("--threads", threads,
                    "Runs at the same time (0: one for each processor); the result is the same")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
}

}  // namespace holdwater::tools
