#pragma once

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tools/show/units.hpp"

namespace holdwater::tools {

/// --units si|us; "metric" is another word for si.
inline void add_units(CLI::App& command, Units& units, std::string const& what = "si or us, for the table") {
    auto const take = [&units](std::string const& text) {
        if (text != "us" && text != "si" && text != "metric")
            throw CLI::ValidationError(
                "--units",
                fmt::format("\"{}\" is no system of units; accepted: metric (also written si), us", text));
        units = text == "us" ? Units::us : Units::si;
    };
    command.add_option_function<std::string>("--units", take, what)->option_text("si|us");
}

/// --threads N.
inline void add_threads(CLI::App& command, int& threads) {
    command.add_option("--threads", threads, "How many at once (0: all processors); the result is the same")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
}

}  // namespace holdwater::tools
