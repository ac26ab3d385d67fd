#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "sim/sweep/sobol_indices.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_run.hpp"

namespace holdwater::tools {

/// What a summary needs of a sweep's rows: one figure of each, and what was refused. 8 bytes a row.
struct SweepTally {
    sim::SweepPlan const& plan;
    sim::SweepFigure figure;
    std::size_t figure_index{};
    std::size_t first = 0;       ///< row of the plan that values[0] is of
    std::vector<double> values;  ///< NaN: refused
    std::size_t refused = 0;
    std::string problem;                    ///< the first
    std::vector<std::string> axis_problem;  ///< one at a time: the last of each axis

    void take(sim::SweepBlock const& block);
    std::size_t run() const { return values.size() - refused; }
    bool ran(std::size_t i) const;
};

/// Of the rows that this call ran: how many side by side, and for which feature the others one by one.
struct LaneTally {
    std::size_t side_by_side = 0, alone = 0;
    std::map<std::string_view, std::size_t> alone_for;

    void take(sim::SweepBlock const& block);
    std::size_t rows() const { return side_by_side + alone; }
};

/// Throws CLI::ValidationError when there is no such figure.
SweepTally make_tally(sim::SweepPlan const& plan, std::vector<sim::SweepFigure> const& figures,
                      std::string const& name);

/// Throws std::invalid_argument when a whole sweep says nothing: no row could be run, or, one at a time, not
/// the base design or no row of a key.
void check_answer(SweepTally const& tally);

/// Widest first; rows of the plan. `low` or `high` 0: the base design.
struct Swing {
    std::size_t axis{}, low{}, high{};
};
std::vector<Swing> swings_of(SweepTally const& tally);

/// Indices (into values) of the least and the most, the earliest of equals; the tally has a row that was run.
std::pair<std::size_t, std::size_t> extremes_of(SweepTally const& tally);

sim::SobolAnswer sobol_of(SweepTally const& tally);

}  // namespace holdwater::tools
