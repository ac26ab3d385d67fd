#include <benchmark/benchmark.h>

#include <filesystem>

#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_store.hpp"

namespace {

using namespace holdwater;

// The files and plans of a sweep, with a cheap function instead of a year: plan, blocks, HDF5 parts and
// joining them. Time is proportional to the number of rows. Memory does not grow with it, except for 8 bytes
// per axis of the plan.
void sweep_machinery(benchmark::State& state) {
    auto const rows = static_cast<std::size_t>(state.range(0));
    sim::SweepHead head;
    head.spec = {sim::SweepMethod::latin_hypercube, {"a=3 kWh..9 kWh", "b=normal(30 m, 4 m)"}, rows, 1};
    for (int i = 0; i < 30; ++i) head.figures.push_back({"figure_" + std::to_string(i), "1", "cheap"});
    auto const out = (std::filesystem::temp_directory_path() / "holdwater-sweep-bench.h5").string();
    for (auto _ : state) {
        sim::SweepPlan const plan(head.spec);
        sim::SweepStore store(out, head, {0, rows}, false);
        sim::run_blocks(
            plan, {0, rows}, head.figures.size(),
            [](sim::SweepBlock& block) {
                for (std::size_t i = 0; i < block.size(); ++i)
                    for (std::size_t f = 0; f < block.width; ++f)
                        block.figures_of(i)[f] =
                            f < 20 ? 0 : sim::number_in(block.settings[i][f % 2]) * static_cast<double>(f);
            },
            [&](sim::SweepBlock const& block) { store.take(block); });
        (void)store.assemble();
        store.commit();
    }
    std::filesystem::remove(out);
    state.SetItemsProcessed(state.iterations() * state.range(0));
    state.SetComplexityN(state.range(0));
}
BENCHMARK(sweep_machinery)
    ->RangeMultiplier(10)
    ->Range(1000, 1000000)
    ->Unit(benchmark::kMillisecond)
    ->Complexity(benchmark::oN);

}  // namespace
