#pragma once

#include <string>
#include <vector>

#include "sim/run_result.hpp"
#include "sim/sweep_plan.hpp"
#include "sim/sweep_run.hpp"
#include "sim/table_file.hpp"

namespace holdwater::tools {

struct SweepTable {
    std::vector<sim::SweepAxis> axes;
    std::vector<sim::SweepRow> rows;
    std::vector<sim::SweepResult> results;
};

/// The figures of a row: those of a run, computing time apart.
std::vector<sim::SummaryField> sweep_figures();

/// A header line, then a line a row: its number from 1, its values, the figures, what was wrong with it. A
/// value column is in numbers when all are in one unit, which its header names; empty: as in the scenario.
std::string sweep_csv(SweepTable const& table);
sim::Table sweep_columns(SweepTable const& table);

/// How many were run, and how many refused.
std::string run_count(SweepTable const& table);
/// Where the figure is least and most.
std::string sweep_extremes(SweepTable const& table, sim::SummaryField const& figure);
/// For each key varied alone the least and the most of the figure, widest first, as bars about the scenario
/// as written (the first row).
std::string tornado(SweepTable const& table, sim::SummaryField const& figure, bool plain);

}  // namespace holdwater::tools
