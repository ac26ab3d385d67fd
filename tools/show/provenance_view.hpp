#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tools/show/units.hpp"

namespace holdwater::tools {

/// A paragraph "Rests on:" with one line for each input, quantities in those units; empty if the scenario
/// gives no provenance.
std::string provenance_text(std::vector<std::string> const& lines, Units units);
/// A list `rests_on` in the JSON; none if the scenario gives no provenance.
void add_provenance(nlohmann::ordered_json& json, std::vector<std::string> const& lines);
/// For /inputs of a file.
std::string provenance_file_text(std::vector<std::string> const& lines);

}  // namespace holdwater::tools
