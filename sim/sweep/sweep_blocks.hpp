#pragma once

#include <atomic>
#include <cstddef>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "sim/sweep/sweep_rows.hpp"

namespace holdwater::sim {

class SweepPlan;

/// A column of figures.
struct SweepFigure {
    std::string name, unit, long_name;
};

/// A figure of a row that was not run: never a number that could be taken for a result.
inline constexpr double not_run = std::numeric_limits<double>::quiet_NaN();

/// Some rows of a plan on end, first their values, after the work their figures.
struct SweepBlock {
    std::size_t first = 0;  ///< row of the plan, from 0
    std::size_t width = 0;  ///< figures a row
    std::vector<SweepRow> settings;
    std::vector<double> figures;              ///< row by row; not_run where there is a problem
    std::vector<std::string> problems;        ///< empty: it was run
    std::vector<std::string_view> alone_for;  ///< what kept a row from running beside others (lane_obstacle)

    std::size_t size() const { return settings.size(); }
    double* figures_of(std::size_t i) { return figures.data() + i * width; }
    double const* figures_of(std::size_t i) const { return figures.data() + i * width; }
    std::size_t refused() const;
};

/// Fills figures or problem of every row of a block. Rows reach it in blocks, so that it can run many at
/// once.
using SweepWork = std::function<void(SweepBlock&)>;
/// Takes finished blocks, in the plan's order.
using SweepTake = std::function<void(SweepBlock const&)>;

inline constexpr std::size_t least_block_rows = 16, most_block_rows = 256;

/// Runs rows first .. end - 1 of a plan, block by block; between two blocks it looks at `stop`. Blocks grow
/// to the most while one takes less than half a second, so that slow rows can be stopped and watched as well.
/// Returns the first row that was not run. What the work or the taker throws ends it.
std::size_t run_blocks(SweepPlan const& plan, RowRange rows, std::size_t figures, SweepWork const& work,
                       SweepTake const& take, std::atomic<bool> const* stop = nullptr);

}  // namespace holdwater::sim
