#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "scenarios/design/search_settings.hpp"
#include "sim/designs/size_design.hpp"
#include "sim/sweep/sweep_blocks.hpp"

namespace holdwater::sim {

// The combinations of a size search as rows of a numbered plan: row i is combination i, the value of the last
// list changes fastest. The figures of a row are all of a SizeRun, so that the choice can be made from rows
// that shards have run.

std::vector<SweepFigure> size_figures();
std::vector<SweepFigure> size_texts();

/// Number of combinations. Throws std::invalid_argument above 100,000.
std::size_t combination_count(scenarios::SearchSettings const& settings);
Combination combination_at(scenarios::SearchSettings const& settings, std::size_t number);

/// Runs the rows of a block by `run` (combination_runs).
void run_combinations(SweepBlock& block, scenarios::SearchSettings const& settings,
                      std::function<std::vector<SizeRun>(std::vector<Combination> const&)> const& run);
/// The inverse: the runs of a block, added to `runs`.
void take_combinations(SweepBlock const& block, scenarios::SearchSettings const& settings,
                       std::map<Combination, SizeRun>& runs);

/// Hash of the parts lists and of all weather and water use by which the combinations are run.
std::string size_inputs_hash(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
                             SizeOptions const& options);

}  // namespace holdwater::sim
