#pragma once

#include <toml++/toml.h>

#include <string>
#include <vector>

#include "scenarios/parts/parts.hpp"

namespace holdwater::scenarios {

/// The lists a scenario names in its top-level key `parts` (files or folders, from the scenario's folder),
/// no part twice among them. Throws ScenarioError.
std::vector<PartsList> parts_lists_of(toml::table const& document, std::string const& path);

/// Puts the keys of every part a section names (`part = "NAME"`) into that section; keys written in the
/// section stay. The nodes keep the list's path and line, so that errors name them. `parts` and `part` are
/// gone after it: the document is a scenario of its own. Returns the parts put in, their counts still 1.
/// Throws ScenarioError for a part no list has, naming the near ones.
std::vector<UsedPart> put_parts_in(toml::table& document, std::vector<PartsList> const& lists,
                                   std::string const& path);

/// Sets how many of each part a design takes, from the document it was read from.
void count_parts(std::vector<UsedPart>& parts, toml::table const& document);

}  // namespace holdwater::scenarios
