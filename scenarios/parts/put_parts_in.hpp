#pragma once

#include <toml++/toml.h>

#include <string>
#include <vector>

#include "scenarios/parts/parts.hpp"

namespace holdwater::scenarios {

/// The lists that a scenario names in its top-level key `parts` (files or folders, from the scenario's
/// folder). No part may be in them twice. Throws ScenarioError.
std::vector<PartsList> parts_lists_of(toml::table const& document, std::string const& path);

/// Puts the keys of every part that a section names (`part = "NAME"`) into that section. Keys that are
/// written in the section stay. The nodes keep the path and line of the list, so that errors can name them.
/// `parts` and `part` are removed, so the document is then a complete scenario. Returns the parts that were
/// put in, with a count of 1. Throws ScenarioError for a part that is in no list; the error names similar
/// ones.
std::vector<UsedPart> put_parts_in(toml::table& document, std::vector<PartsList> const& lists,
                                   std::string const& path);

/// Sets how many of each part a design uses, from the document from which it was read.
void count_parts(std::vector<UsedPart>& parts, toml::table const& document);

}  // namespace holdwater::scenarios
