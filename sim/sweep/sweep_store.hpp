#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "sim/sweep/sweep_file.hpp"

namespace holdwater::sim {

/// How long a piece of an unfinished sweep may get before it is closed: what a kill or a power cut can take.
struct PieceLimits {
    std::size_t rows = 65536;
    std::chrono::seconds time{300};
};

/// The result file of a running sweep. Rows go into pieces beside it, OUT.part.0000000 and so on, each a file
/// of its own that is whole as soon as it has its name. `finish` joins them into OUT, which is untouched
/// until then. An interrupted sweep leaves its rows in OUT.part, where the next one can go on. All throw
/// ResultFileError.
class SweepStore {
  public:
    /// `rows`: the rows of the plan this file is for. Without `resume` it must not find rows of an earlier
    /// sweep; with it, these must be of the same sweep.
    SweepStore(std::string out, SweepHead head, RowRange rows, bool resume, PieceLimits limits = {});

    /// First row that is not there yet; the end of `rows` when nothing is left to run.
    std::size_t next_row() const { return next_; }
    bool was_finished() const { return was_finished_; }  ///< OUT itself held all rows already
    /// What was found damaged and is run again, a sentence each, named by OUT.
    std::vector<std::string> const& notes() const { return notes_; }

    void take(SweepBlock const& block);
    /// Leaves the rows so far in OUT.part, and says its name.
    std::string stop();
    /// All rows in one file under a temporary name, whose path it returns; `commit` gives it the name OUT and
    /// removes the pieces, `discard` removes everything.
    std::string assemble();
    void commit();
    void discard();

  private:
    std::string part_name() const { return out_ + ".part"; }
    std::vector<std::string> leftovers() const;
    void go_on();
    void close_piece();
    void join(std::string const& path);

    std::string out_;
    SweepHead head_;
    RowRange rows_;
    PieceLimits limits_;
    std::vector<std::string> notes_;
    std::vector<std::string> pieces_;  // in order, without gap
    std::size_t next_;
    bool was_finished_ = false;
    std::optional<SweepWriter> writer_;
    std::string writing_;
    std::size_t written_ = 0;  // rows in the open piece
    std::chrono::steady_clock::time_point since_;
    std::string assembled_;
};

/// Finished shards of one sweep, all of them, in order. Throws ResultFileError that names shards which do not
/// fit together, are unfinished, overlap or are missing.
std::vector<SweepReader> fitting_shards(std::vector<std::string> const& paths);
/// Their rows as the file that the sweep without shards writes.
void merge_shards(std::vector<SweepReader> const& shards, std::string const& out);

}  // namespace holdwater::sim
