#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace holdwater::tools {

/// The manual page, section 1, made from the descriptions, options and examples of the commands.
std::string man_page(CLI::App const& app);

/// Completion for bash: commands, options, choices written as "metric|us", file names where a description
/// speaks of a file, and names of options from the scenario on the command line.
std::string bash_completion(CLI::App const& app);

}  // namespace holdwater::tools
