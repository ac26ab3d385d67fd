#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace holdwater::tools {

/// The manual page, section 1, from the commands' own descriptions, options and examples.
std::string man_page(CLI::App const& app);

/// Completion for bash: commands, options, the choices written as "metric|us", file names where a description
/// speaks of a file, and names of options from the scenario that is on the line.
std::string bash_completion(CLI::App const& app);

}  // namespace holdwater::tools
