#pragma once

#include <CLI/CLI.hpp>
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "sim/sweep/output_file.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_store.hpp"
#include "tools/progress/stop_on_signal.hpp"

namespace holdwater::tools {

/// --resume, --shard K/N, --merge FILE... and --manifest FILE: the same options with the same meaning in
/// every study in rows (sweep, region, years, size). The rows are in an .h5 file (SweepStore) that --out
/// names.
struct ShardArguments {
    std::string shard, manifest;
    std::vector<std::string> merge;
    bool resume = false;
    [[nodiscard]] bool any() const { return resume || !shard.empty() || !manifest.empty() || !merge.empty(); }
    /// The file of rows: with one of these options an .h5 file has rows, and not the table of the study.
    [[nodiscard]] std::string rows_path(std::string const& out) const {
        return any() && out.ends_with(".h5") ? out : std::string();
    }
};
/// Which files --merge takes and what goes with it.
enum class MergeTakes { files_alone, scenario_too };
/// Adds the options; returns them.
std::vector<CLI::Option*> add_shards(CLI::App& command, ShardArguments& arguments, MergeTakes merge);

/// "2/8" of --shard: the second of eight parts; "" is the whole. Throws CLI::ValidationError.
struct Shard {
    std::size_t number = 1, of = 1;
};
Shard shard_of(std::string const& text);

/// Refuses --resume, --shard and --manifest without an .h5 file, and a manifest that is none.
void check_shard_file(ShardArguments const& arguments, std::string const& hdf5);
/// check_output of a file for rows; with --resume it may be a damaged one, whose rows are run again.
void check_shard_output(ShardArguments const& arguments, std::string const& path, sim::OutputKind const& kind,
                        std::vector<std::string> const& read);

/// What is run: the rows of a plan that belong to the shard of the head.
struct RowStudy {
    sim::SweepPlan plan;
    sim::SweepHead head;
    sim::SweepWork work;  ///< may throw sim::StudyStopped
    sim::BlockShape shape{};
    sim::PieceLimits pieces{};
    [[nodiscard]] sim::RowRange rows() const { return sim::shard_rows(plan.size(), head.shard, head.shards); }
    [[nodiscard]] bool whole() const { return head.shards == 1; }
};

/// Runs the rows of the study from row `from` on, with a line of progress. Returns whether all were run. If
/// it was stopped, it says so, with `kept`: where the finished rows are.
bool run_rows(RowStudy const& study, std::size_t from, sim::SweepTake const& take, StopOnSignal const& signal,
              int& exit_code, std::function<std::string()> const& kept);

/// Runs the rows that are missing in the file and tells the manifest. Before the file gets its name, `read`
/// gets all of its rows, block by block; if `check` then throws, the file is removed. Returns whether all
/// were run.
bool run_shard(RowStudy const& study, ShardArguments const& arguments, std::string const& hdf5,
               StopOnSignal const& signal, int& exit_code, sim::SweepTake const& read,
               std::function<void()> const& check);

/// Compares the shards of --merge (sim::fitting_shards) with the manifest, if there is one, and joins them in
/// the .h5 file, if one is given.
void join_shards(std::vector<sim::SweepReader> const& shards, ShardArguments const& arguments,
                 std::string const& hdf5);
/// The rows of a finished file, block by block.
void read_blocks(sim::SweepReader const& file, sim::SweepTake const& take);

/// For a study whose answer needs its scenario: `take` gets all rows of the plan, from the files of --merge,
/// which must be of this study, or from a run. Returns whether it has got them. If not, it says what was
/// done: a shard was run, or the run was stopped.
bool all_rows(RowStudy const& study, ShardArguments const& arguments, std::string const& hdf5, bool json,
              StopOnSignal const& signal, int& exit_code, sim::SweepTake const& take);

}  // namespace holdwater::tools
