#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "tools/answers/sweep_tally.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// CSV: a header line, then a line a row: its number in the plan from 1, its values, the figures, what was
/// wrong with it. A value column is in numbers when all are in one unit, which its header names; empty: as in
/// the scenario.
std::string csv_header(std::vector<sim::SweepAxis> const& axes, std::vector<sim::SweepFigure> const& figures);
std::string csv_lines(std::vector<sim::SweepAxis> const& axes, sim::SweepBlock const& block);

/// How many were run, and how many refused.
std::string run_count(SweepTally const& tally);

/// How many of the rows that this call ran did so side by side, what kept the others from it; empty when it
/// ran none. `resumed`: not all rows are this call's.
std::string lane_line(LaneTally const& lanes, bool resumed);

/// Where the figure is least and most.
std::string extremes_table(SweepTally const& tally, Units units);
/// For each key varied alone the least and the most of the figure, widest first, as bars about the scenario
/// base design.
std::string tornado(SweepTally const& tally, Units units, bool plain);
/// What part of the figure's spread each key makes, largest first.
std::string sobol_table(SweepTally const& tally, Units units, bool plain);

/// The same as JSON, in SI units.
nlohmann::ordered_json sweep_json(SweepTally const& tally);
nlohmann::ordered_json lane_json(LaneTally const& lanes);

}  // namespace holdwater::tools
