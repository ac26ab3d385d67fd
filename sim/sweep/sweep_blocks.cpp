#include "sim/sweep/sweep_blocks.hpp"

#include <algorithm>
#include <chrono>

#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

std::size_t SweepBlock::refused() const {
    return static_cast<std::size_t>(
        std::count_if(problems.begin(), problems.end(), [](auto const& p) { return !p.empty(); }));
}

std::size_t run_blocks(SweepPlan const& plan, RowRange rows, std::size_t figures, SweepWork const& work,
                       SweepTake const& take, std::atomic<bool> const* stop) {
    SweepBlock block;
    block.width = figures;
    std::size_t next = rows.first, most = least_block_rows;
    while (next < rows.end && (stop == nullptr || !stop->load())) {
        std::size_t const count = std::min(most, rows.end - next);
        block.first = next;
        block.settings.resize(count);
        for (std::size_t i = 0; i < count; ++i) block.settings[i] = plan.row(next + i);
        block.figures.assign(count * figures, not_run);
        block.problems.assign(count, "");
        auto const began = std::chrono::steady_clock::now();
        work(block);
        if (std::chrono::steady_clock::now() - began < std::chrono::milliseconds(500))
            most = std::min(2 * most, most_block_rows);
        take(block);
        next += count;
    }
    return next;
}

}  // namespace holdwater::sim
