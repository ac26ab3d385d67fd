#include "sim/sweep/sweep_store.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "sim/files/result_file.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {
namespace {

namespace fs = std::filesystem;

bool all_digits(std::string const& text) {
    return !text.empty() &&
           std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c); });
}

std::string rows_text(std::size_t first, std::size_t end) {
    return end - first == 1 ? fmt::format("row {}", first + 1) : fmt::format("rows {} to {}", first + 1, end);
}

void remove_files(std::vector<std::string> const& paths) {
    std::error_code ignored;
    for (auto const& path : paths) fs::remove(path, ignored);
}

}  // namespace

SweepStore::SweepStore(std::string out, SweepHead head, RowRange rows, bool resume, PieceLimits limits)
    : out_(write_target(out)), head_(std::move(head)), rows_(rows), limits_(limits), next_(rows.first) {
    check_overwrites_hdf5(out_);
    auto const found = leftovers();
    if (resume)
        go_on();
    else if (!found.empty())
        throw ResultFileError(fmt::format(
            "{}: holds finished rows of an interrupted run; --resume goes on from them, or remove it "
            "({}) to begin anew",
            found.front(), out_ + ".part*"));
}

// OUT.part and OUT.part.DIGITS.
std::vector<std::string> SweepStore::leftovers() const {
    std::vector<std::string> found;
    std::error_code failure;
    auto const folder = fs::path(out_).parent_path();
    std::string const start = fs::path(part_name()).filename().string();
    for (auto const& entry : fs::directory_iterator(folder.empty() ? "." : folder, failure)) {
        std::string const name = entry.path().filename().string();
        bool const piece = name.size() > start.size() + 1 && name.starts_with(start + ".") &&
                           all_digits(name.substr(start.size() + 1));
        if (name == start || piece) found.push_back((folder / name).string());
    }
    std::sort(found.begin(), found.end());
    return found;
}

void SweepStore::go_on() {
    auto const check = [&](SweepReader const& reader) {
        auto const other = difference(head_, "this run", reader.head(), reader.path());
        if (!other.empty())
            throw ResultFileError(fmt::format("{}: --resume cannot go on from it: {}", reader.path(), other));
        if (reader.head().shard != head_.shard || reader.head().shards != head_.shards)
            throw ResultFileError(fmt::format(
                "{}: --resume cannot go on from it: it is of --shard {}/{}, this is --shard {}/{}",
                reader.path(), reader.head().shard, reader.head().shards, head_.shard, head_.shards));
    };
    struct Piece {
        std::size_t first = 0, end = 0;
        std::string path;
    };
    std::vector<Piece> found;
    for (auto const& path : leftovers()) try {
            SweepReader const reader(path);
            check(reader);
            found.push_back({reader.first_row(), reader.first_row() + reader.rows(), path});
        } catch (DamagedSweepError const&) {
            notes_.push_back(fmt::format(
                "{}: finished rows beside it are damaged ({}); they are run again, with those behind them",
                out_, path));
            remove_files({path});
        }
    std::sort(found.begin(), found.end(), [](Piece const& a, Piece const& b) {
        return a.first != b.first ? a.first < b.first : a.end > b.end;
    });
    for (auto const& piece : found) {
        if (piece.first == next_ && piece.end > next_) {
            pieces_.push_back(piece.path);
            next_ = piece.end;
        } else {
            remove_files({piece.path});  // already joined into OUT.part, or after a gap
        }
    }
    if (!pieces_.empty() || !fs::exists(out_)) return;
    if (is_damaged_sweep(out_)) {
        notes_.push_back(fmt::format("{}: is damaged; all of its rows are run again", out_));
        return;
    }
    // Nothing unfinished: the file itself may be complete, or belong to another run.
    SweepReader const reader(out_);
    check(reader);
    if (reader.first_row() == rows_.first && reader.first_row() + reader.rows() == rows_.end) {
        next_ = rows_.end;
        was_finished_ = true;
    }
}

void SweepStore::take(SweepBlock const& block) {
    auto const now = std::chrono::steady_clock::now();
    if (!writer_) {
        writing_ = fmt::format("{}.{:07}", part_name(), block.first);
        writer_.emplace(writing_, head_, block.first, rows_.end);
        written_ = 0;
        since_ = now;
    }
    writer_->append(block);
    written_ += block.size();
    next_ = block.first + block.size();
    // The first block is written at once, so that an error of the disk shows early.
    if (pieces_.empty() || written_ >= limits_.rows || now - since_ >= limits_.time) close_piece();
}

void SweepStore::close_piece() {
    if (!writer_) return;
    writer_->close();
    writer_.reset();
    pieces_.push_back(writing_);
}

void SweepStore::join(std::string const& path) {
    std::vector<SweepReader> readers;
    for (auto const& piece : pieces_) readers.emplace_back(piece);
    join_sweep_files(readers, path, head_, rows_);
}

std::string SweepStore::stop() {
    close_piece();
    if (pieces_.empty()) return "";
    if (pieces_.size() > 1 || pieces_.front() != part_name()) join(part_name());
    std::erase(pieces_, part_name());
    remove_files(pieces_);
    pieces_ = {part_name()};
    return part_name();
}

std::string SweepStore::assemble() {
    if (was_finished_) return out_;
    close_piece();
    assembled_ = fmt::format("{}.{}.whole", out_, ::getpid());
    join(assembled_);
    return assembled_;
}

void SweepStore::commit() {
    if (was_finished_) return;
    rename_whole_file(assembled_, out_);
    remove_files(pieces_);
}

void SweepStore::discard() {
    if (was_finished_) return;
    remove_files({assembled_});
    remove_files(pieces_);
}

std::vector<SweepReader> fitting_shards(std::vector<std::string> const& paths, std::string const& group) {
    std::vector<SweepReader> shards;
    for (auto const& path : paths) {
        auto& shard = [&]() -> SweepReader& {
            try {
                return shards.emplace_back(path);
            } catch (DamagedSweepError const& error) {
                throw ResultFileError(fmt::format("{}; remove it and run that shard again", error.what()));
            }
        }();
        if (shard.head().group != group)
            throw ResultFileError(fmt::format("{}: holds rows of `{}`; join them with {} --merge", path,
                                              shard.head().group, shard.head().group));
        auto const other = difference(shards.front().head(), shards.front().path(), shard.head(), path);
        if (!other.empty()) throw ResultFileError(fmt::format("{}: of another run: {}", path, other));
        if (shard.first_row() + shard.rows() != shard.end_row())
            throw ResultFileError(fmt::format(
                "{}: is unfinished: {} of its {} rows are there; run that shard again with --resume", path,
                shard.rows(), shard.end_row() - shard.first_row()));
    }
    std::sort(shards.begin(), shards.end(),
              [](SweepReader const& a, SweepReader const& b) { return a.first_row() < b.first_row(); });
    auto const& head = shards.front().head();
    auto const all = SweepPlan(head.spec).size();
    auto const missing = [&](std::size_t first, std::size_t end) {
        std::string which;
        for (std::size_t k = 1; k <= head.shards; ++k) {
            auto const part = shard_rows(all, k, head.shards);
            if (part.first < end && part.end > first)
                which += fmt::format("{}{}/{}", which.empty() ? "" : ", ", k, head.shards);
        }
        throw ResultFileError(fmt::format("shard {} is missing: {} of {} are in none of the files", which,
                                          rows_text(first, end), all));
    };
    std::size_t next = 0;
    std::string before;
    for (auto const& shard : shards) {
        if (shard.first_row() < next)
            throw ResultFileError(fmt::format("{} and {} overlap: both hold {}", before, shard.path(),
                                              rows_text(shard.first_row(), std::min(next, shard.end_row()))));
        if (shard.first_row() > next) missing(next, shard.first_row());
        next = shard.end_row();
        before = shard.path();
    }
    if (next < all) missing(next, all);
    return shards;
}

void merge_shards(std::vector<SweepReader> const& shards, std::string const& out) {
    check_overwrites_hdf5(out);
    auto head = shards.front().head();
    head.shard = head.shards = 1;
    join_sweep_files(shards, out, head, {0, shards.back().end_row()});
}

}  // namespace holdwater::sim
