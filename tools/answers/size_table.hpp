#pragma once

#include <string>
#include <vector>

#include "sim/designs/size_design.hpp"
#include "sim/files/table_file.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// The answer as text: the choice and its figures, what decides, the frontier.
std::string size_table(sim::SizeAnswer const& answer, Units units);

/// "cheapest", "least to buy" or "smallest".
std::string least_word(scenarios::SearchLeast least);

/// Every combination that was run, one row each; and the frontier.
std::vector<sim::Table> size_tables(sim::SizeAnswer const& answer);

/// The requirements that a combination misses, "hours short of water 12 h (at most 0 h)"; empty if none.
std::string misses(sim::SizeRun const& run);

}  // namespace holdwater::tools
