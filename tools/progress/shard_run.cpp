#include "tools/progress/shard_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <utility>

#include "sim/base/stop.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/sweep/manifest.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {

std::vector<CLI::Option*> add_shards(CLI::App& command, ShardArguments& arguments, MergeTakes merge) {
    return {
        command.add_flag("--resume", arguments.resume,
                         "Go on with a run that was interrupted; with the same --out FILE.h5"),
        command.add_option("--shard", arguments.shard,
                           "K/N: only the K-th of N parts of the rows, for --merge"),
        command.add_option("--merge", arguments.merge,
                           merge == MergeTakes::files_alone
                               ? "Instead of running: join the shards' files; one whole file: show it again"
                               : "Instead of running: join the shards' files, with the SCENARIO and the "
                                 "options of the shards; one whole file: show it again"),
        command
            .add_option("--manifest", arguments.manifest,
                        "CSV file that lists every finished .h5 file with shard, rows, hashes and host; "
                        "all shards may share one, and --merge compares the files with it")
            ->option_text("FILE")};
}

Shard shard_of(std::string const& text) {
    Shard s;
    if (text.empty()) return s;
    auto const* const end = text.data() + text.size();
    auto const first = std::from_chars(text.data(), end, s.number);
    bool const slash = first.ec == std::errc() && first.ptr != end && *first.ptr == '/';
    if (!slash || std::from_chars(first.ptr + 1, end, s.of).ptr != end || s.of < 1 ||
        s.of > sim::most_shards || s.number < 1 || s.number > s.of)
        throw CLI::ValidationError(
            "--shard", "'" + text + "' is not K/N with K from 1 to N, such as 2/8 for the second of eight");
    return s;
}

void check_shard_file(ShardArguments const& arguments, std::string const& hdf5) {
    if (!arguments.manifest.empty()) sim::check_manifest(arguments.manifest);
    if (!hdf5.empty() || !arguments.any() || !arguments.merge.empty()) return;
    throw CLI::ValidationError(arguments.resume             ? "--resume"
                               : arguments.manifest.empty() ? "--shard"
                                                            : "--manifest",
                               "needs --out FILE.h5");
}

void check_shard_output(ShardArguments const& arguments, std::string const& path, sim::OutputKind const& kind,
                        std::vector<std::string> const& read) {
    sim::check_output_is_not_read(path, read);
    if (!arguments.resume || !sim::is_damaged_sweep(path)) sim::check_output(path, kind, {});
}

bool run_rows(RowStudy const& study, std::size_t from, sim::SweepTake const& take, StopOnSignal const& signal,
              int& exit_code, std::function<std::string()> const& kept) {
    auto const rows = study.rows();
    auto const all = rows.end - rows.first;
    std::size_t done = from;
    ProgressLine progress(from - rows.first, all);
    try {
        sim::run_blocks(
            study.plan, {from, rows.end}, study.head.figures.size(), study.work,
            [&](sim::SweepBlock const& block) {
                progress.clear();  // the rows may go to the same terminal
                take(block);
                done = block.first + block.size();
                progress.count(done - rows.first, all, "rows");
            },
            &signal.stop(), study.shape);
    } catch (sim::StudyStopped const&) {
        // The rows of finished blocks are kept.
    }
    progress.clear();
    if (done == rows.end) return true;
    fmt::print(stderr, "stopped: {} of {} rows are finished{}\n", done - rows.first, all, kept());
    exit_code = signal.exit_code();
    return false;
}

void read_blocks(sim::SweepReader const& file, sim::SweepTake const& take) {
    constexpr std::size_t rows = 4096;
    for (std::size_t from = 0; from < file.rows(); from += rows)
        take(file.read(from, std::min(rows, file.rows() - from)));
}

bool run_shard(RowStudy const& study, ShardArguments const& arguments, std::string const& hdf5,
               StopOnSignal const& signal, int& exit_code, sim::SweepTake const& read,
               std::function<void()> const& check) {
    sim::SweepStore store(hdf5, study.head, study.rows(), arguments.resume, study.pieces);
    for (auto const& note : store.notes()) fmt::print(stderr, "warning: {}\n", note);
    auto const kept = [&] {
        auto const part = store.stop();
        return fmt::format("{}; the same command with --resume goes on",
                           part.empty() ? "" : " and lie in " + part);
    };
    if (!run_rows(
            study, store.next_row(), [&](sim::SweepBlock const& block) { store.take(block); }, signal,
            exit_code, kept))
        return false;
    read_blocks(sim::SweepReader(store.assemble()), read);
    try {
        check();
    } catch (...) {
        store.discard();
        throw;
    }
    store.commit();
    if (!arguments.manifest.empty()) sim::note_done(arguments.manifest, hdf5, study.head, study.rows());
    return true;
}

void join_shards(std::vector<sim::SweepReader> const& shards, ShardArguments const& arguments,
                 std::string const& hdf5) {
    auto const& manifest = arguments.manifest;
    if (!manifest.empty())
        for (auto const& file : arguments.merge) sim::check_done(manifest, file);
    if (hdf5.empty()) return;
    sim::merge_shards(shards, hdf5);
    if (manifest.empty()) return;
    sim::SweepReader const joined(hdf5);
    sim::note_done(manifest, hdf5, joined.head(), {0, joined.end_row()});
}

bool all_rows(RowStudy const& study, ShardArguments const& arguments, std::string const& hdf5, bool json,
              StopOnSignal const& signal, int& exit_code, sim::SweepTake const& take) {
    if (arguments.merge.empty()) {
        auto const rows = study.rows();
        auto const read = study.whole() ? take : [](sim::SweepBlock const&) {};
        if (!run_shard(study, arguments, hdf5, signal, exit_code, read, [] {})) return false;
        if (study.whole()) return true;
        if (json)
            fmt::print("{}\n", json_text({{"shard", arguments.shard},
                                          {"rows", rows.end - rows.first},
                                          {"of", study.plan.size()},
                                          {"tables", {hdf5}}}));
        else
            fmt::print(
                "Shard {}: {} of {} rows. The answer follows from all shards, with --merge.\n\n"
                "Row by row: {}\n",
                arguments.shard, rows.end - rows.first, study.plan.size(), hdf5);
        return false;
    }
    if (!arguments.shard.empty() || arguments.resume)
        throw CLI::ValidationError("--merge", "joins finished files; --shard and --resume do not go with it");
    auto const shards = sim::fitting_shards(arguments.merge, study.head.group);
    auto const other =
        sim::difference(study.head, "this command", shards.front().head(), shards.front().path());
    if (!other.empty())
        throw sim::ResultFileError(
            fmt::format("{}: is not a shard of this command: {}", shards.front().path(), other));
    join_shards(shards, arguments, hdf5);
    for (auto const& shard : shards) read_blocks(shard, take);
    return true;
}

}  // namespace holdwater::tools
