#pragma once

#include <toml++/toml.h>

#include <string>

namespace holdwater::scenarios {

/// The text of a file. `what` says in error messages what was expected ("scenario file"). Throws
/// ScenarioError.
std::string text_of_file(std::string const& path, std::string const& what);

/// The text as a document whose nodes know their lines. Throws ScenarioError with `path` and line.
toml::table parse_toml(std::string const& text, std::string const& path);

/// A value as TOML writes it to the right of the equals sign.
std::string in_toml(toml::node const& node);

}  // namespace holdwater::scenarios
