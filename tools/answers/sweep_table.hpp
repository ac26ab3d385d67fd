#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "sim/sweep/sweep_tally.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// How many rows were run, and how many were refused.
std::string run_count(sim::SweepTally const& tally);

/// The rows with the lowest and the highest figure.
std::string extremes_table(sim::SweepTally const& tally, Units units);
/// For each key varied alone, the lowest and the highest figure as bars on both sides of the base design,
/// widest first.
std::string tornado(sim::SweepTally const& tally, Units units, bool plain);
/// The share of the figure's variance that each key causes, largest first.
std::string sobol_table(sim::SweepTally const& tally, Units units, bool plain);

/// The same as JSON, in SI units.
nlohmann::ordered_json sweep_json(sim::SweepTally const& tally);
nlohmann::ordered_json lane_json(sim::LaneTally const& lanes);

}  // namespace holdwater::tools
