#pragma once

#include <toml++/toml.h>

#include <cstddef>
#include <string>

namespace holdwater::scenarios {

/// Greatest depth of tables in one key (a.b.c: three), and of brackets within brackets. The parser calls
/// itself for every level, so thousands of levels would use up its stack.
inline constexpr std::size_t deepest_key = 32;

/// Largest size in bytes of a scenario, of a parts list, and of a table of measured values that a scenario
/// names.
inline constexpr std::size_t largest_scenario = std::size_t{1} << 20,
                             largest_parts_list = std::size_t{1} << 20,
                             largest_series = std::size_t{64} << 20;

/// The text of a file of at most `most_bytes`; `what` names what was expected in the errors ("scenario
/// file"). Throws ScenarioError.
std::string text_of_file(std::string const& path, std::string const& what,
                         std::size_t most_bytes = largest_scenario);

/// The first control character that a terminal would obey, as "U+001B"; "" for none. A text of several lines
/// may contain line breaks and tabs.
std::string control_character(std::string_view text);

/// Whether a text has no line break. Names and titles are printed among the lines of the answer, so a second
/// line could pass for one of these.
bool in_one_line(std::string_view text);
inline constexpr char const* must_be_one_line = "must be one line of text, without a line break";

/// The text as a document whose nodes know their lines. Throws ScenarioError with `path` and line.
toml::table parse_toml(std::string const& text, std::string const& path);

/// The same, but throws toml::parse_error if the text is not TOML, is deeper than deepest_key, or has a
/// control character in a key or text (it would reach the user's terminal). Without `path`, the nodes name no
/// file.
toml::table parse_plain(std::string const& text, std::string const& path = "");

/// A value as TOML writes it to the right of the equals sign.
std::string in_toml(toml::node const& node);

}  // namespace holdwater::scenarios
