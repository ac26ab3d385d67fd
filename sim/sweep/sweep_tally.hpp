#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "sim/sweep/sobol_indices.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_run.hpp"

namespace holdwater::sim {

/// What a summary needs of the rows of a sweep: one figure of each, and which were refused. 8 bytes for each
/// row.
struct SweepTally {
    SweepPlan const& plan;
    SweepFigure figure;
    std::size_t figure_index{};
    std::size_t first = 0;       ///< row of the plan to which values[0] belongs
    std::vector<double> values;  ///< NaN: refused
    std::size_t refused = 0;
    std::string problem;                    ///< the first problem
    std::vector<std::string> axis_problem;  ///< one at a time: the last row of each axis

    void take(SweepBlock const& block);
    std::size_t run() const { return values.size() - refused; }
    bool ran(std::size_t i) const;
};

/// Of the rows of this call: how many ran side by side, and the features because of which others ran one by
/// one.
struct LaneTally {
    std::size_t side_by_side = 0, alone = 0;
    std::map<std::string_view, std::size_t> alone_for;

    void take(SweepBlock const& block);
    std::size_t rows() const { return side_by_side + alone; }
};

/// Throws std::invalid_argument, which names the figures, if there is no such one.
SweepTally make_tally(SweepPlan const& plan, std::vector<SweepFigure> const& figures,
                      std::string const& name);

/// Throws std::invalid_argument if a whole sweep has no answer: no row could be run or, one at a time, not
/// the base design or no row of a key.
void check_answer(SweepTally const& tally);

/// Widest first; rows of the plan. `low` or `high` 0: the base design.
struct Swing {
    std::size_t axis{}, low{}, high{};
};
std::vector<Swing> swings_of(SweepTally const& tally);

/// Indices (into values) of the lowest and the highest figure, the earliest of equal ones. Pre: at least one
/// row was run.
std::pair<std::size_t, std::size_t> extremes_of(SweepTally const& tally);

/// 10, 50 and 90 of 100 rows that were run have a figure up to these. Pre: at least one row was run.
struct RowSpread {
    double low{}, median{}, high{};
};
RowSpread row_spread(SweepTally const& tally);

SobolAnswer sobol_of(SweepTally const& tally);

}  // namespace holdwater::sim
