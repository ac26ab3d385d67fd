#pragma once

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tools/show/units.hpp"

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

/// --threads N.
inline void add_threads(CLI::App& command, int& threads) {
    command
        .add_option("--threads", threads,
                    "Runs at the same time (0: one for each processor); the result is the same")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
}

}  // namespace holdwater::tools
