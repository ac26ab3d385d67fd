#pragma once

#include <atomic>
#include <cstddef>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "sim/files/table_file.hpp"
#include "sim/sweep/sweep_axis.hpp"
#include "sim/sweep/sweep_rows.hpp"

namespace holdwater::sim {

class SweepPlan;

/// A column of figures.
struct SweepFigure {
    std::string name, unit, long_name;
};

/// A figure of a row that was not run: a value that cannot be mistaken for a result.
inline constexpr double not_run = std::numeric_limits<double>::quiet_NaN();

/// A figure of what is stored as a row: how a row gets it, and how it is read back.
template <class Stored>
struct RowField {
    char const *name = "", *unit = "", *long_name = "";
    double (*get)(Stored const&) = nullptr;
    void (*set)(Stored&, double) = nullptr;
};

/// Consecutive rows of a plan: first their values, and after the run their figures.
struct SweepBlock {
    std::size_t first = 0;  ///< first row of the block, row of the plan from 0
    std::size_t width = 0;  ///< number of figures for each row
    std::vector<SweepRow> settings;
    std::vector<double> figures;                  ///< row by row; not_run if there is a problem
    std::vector<std::vector<std::string>> texts;  ///< of each text column, row by row
    std::vector<std::string> problems;            ///< empty: it was run
    /// The reason why a row could not run beside others (lane_obstacle).
    std::vector<std::string_view> alone_for;

    std::size_t size() const { return settings.size(); }
    double* figures_of(std::size_t i) { return figures.data() + i * width; }
    double const* figures_of(std::size_t i) const { return figures.data() + i * width; }
    std::size_t refused() const;
};

/// The rows of a block as a table: the number of the row in the plan from 1, its values, the figures, and
/// what was wrong with it. A column of values has numbers if all are in one unit, which its header names;
/// empty: as in the scenario.
Table table_of_block(std::vector<SweepAxis> const& axes, std::vector<SweepFigure> const& figures,
                     SweepBlock const& block);

/// Fills the figures or the problem of every row of a block. It gets whole blocks, so that it can run many
/// rows at once.
using SweepWork = std::function<void(SweepBlock&)>;
/// Receives finished blocks, in the order of the plan.
using SweepTake = std::function<void(SweepBlock const&)>;

inline constexpr std::size_t least_block_rows = 16, most_block_rows = 256;

/// What a study needs of its blocks besides the figures.
struct BlockShape {
    std::size_t texts = 0;                 ///< text columns
    std::size_t together = 1;              ///< a block ends at a multiple of so many rows of the plan
    std::size_t least = least_block_rows;  ///< rows of a block, so that there is work for all threads
};

/// Runs rows first .. end - 1 of a plan, block by block, and checks `stop` between two blocks. Blocks grow to
/// the largest size as long as one takes less than half a second, so that slow rows can be watched and
/// stopped as well. Returns the first row that was not run. An exception of the work or of the receiver ends
/// it.
std::size_t run_blocks(SweepPlan const& plan, RowRange rows, std::size_t figures, SweepWork const& work,
                       SweepTake const& take, std::atomic<bool> const* stop = nullptr, BlockShape shape = {});

}  // namespace holdwater::sim
