#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tools/show/units.hpp"

namespace holdwater::tools {

/// A paragraph "Rests on:" with a line an input, quantities in those units; empty when the scenario states
/// nothing.
std::string provenance_text(std::vector<std::string> const& lines, Units units);
/// A list `rests_on` in the JSON; none when the scenario states nothing.
void add_provenance(nlohmann::ordered_json& json, std::vector<std::string> const& lines);
/// For /inputs of a file.
std::string provenance_file_text(std::vector<std::string> const& lines);

}  // namespace holdwater::tools
