#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tools/units.hpp"

namespace holdwater::tools {

/// --units si|us.
inline void add_units(CLI::App& command, Units& units, std::string const& what = "si or us, for the table") {
    command.add_option("--units", units, what)
        ->transform(CLI::CheckedTransformer(
            std::vector<std::pair<std::string, Units>>{{"si", Units::si}, {"us", Units::us}}))
        ->option_text("si|us");
}

/// --threads N.
inline void add_threads(CLI::App& command, int& threads) {
    command.add_option("--threads", threads, "How many at once (0: all processors); the result is the same")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
}

}  // namespace holdwater::tools
