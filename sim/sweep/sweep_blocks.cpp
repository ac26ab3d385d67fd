#include "sim/sweep/sweep_blocks.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

std::size_t SweepBlock::refused() const {
    return static_cast<std::size_t>(
        std::count_if(problems.begin(), problems.end(), [](auto const& p) { return !p.empty(); }));
}

Table table_of_block(std::vector<SweepAxis> const& axes, std::vector<SweepFigure> const& figures,
                     SweepBlock const& block) {
    std::size_t const rows = block.size();
    Table table{"rows", {}};
    std::vector<double> numbers(rows);
    for (std::size_t i = 0; i < rows; ++i) numbers[i] = static_cast<double>(block.first + i + 1);
    table.columns.push_back({"row", "1", "", numbers});
    for (std::size_t a = 0; a < axes.size(); ++a) {
        if (axes[a].is_number) {
            for (std::size_t i = 0; i < rows; ++i) {
                auto const& value = block.settings[i][a];
                numbers[i] = value.empty() ? not_run : number_in(value);
            }
            table.columns.push_back({axes[a].key, axes[a].unit, "", numbers});
            continue;
        }
        std::vector<std::string> texts(rows);
        for (std::size_t i = 0; i < rows; ++i) texts[i] = block.settings[i][a];
        table.columns.push_back({axes[a].key, "", "", std::move(texts)});
    }
    for (std::size_t f = 0; f < figures.size(); ++f) {
        for (std::size_t i = 0; i < rows; ++i)
            numbers[i] = block.problems[i].empty() ? block.figures_of(i)[f] : not_run;
        table.columns.push_back({figures[f].name, figures[f].unit, figures[f].long_name, numbers});
    }
    table.columns.push_back({"problem", "", "", block.problems});
    return table;
}

std::size_t run_blocks(SweepPlan const& plan, RowRange rows, std::size_t figures, SweepWork const& work,
                       SweepTake const& take, std::atomic<bool> const* stop, BlockShape shape) {
    SweepBlock block;
    block.width = figures;
    std::size_t next = rows.first, most = shape.least;
    while (next < rows.end && (stop == nullptr || !stop->load())) {
        std::size_t const whole = (next + most + shape.together - 1) / shape.together * shape.together;
        std::size_t const count = std::min(whole, rows.end) - next;
        block.first = next;
        block.settings.resize(count);
        for (std::size_t i = 0; i < count; ++i) block.settings[i] = plan.row(next + i);
        block.figures.assign(count * figures, not_run);
        block.problems.assign(count, "");
        block.texts.assign(shape.texts, std::vector<std::string>(count));
        auto const began = std::chrono::steady_clock::now();
        work(block);
        if (std::chrono::steady_clock::now() - began < std::chrono::milliseconds(500))
            most = std::max(shape.least, std::min(2 * most, most_block_rows));
        take(block);
        next += count;
    }
    return next;
}

}  // namespace holdwater::sim
