#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "sim/sweep/sweep_file.hpp"

namespace holdwater::sim {

/// How long a part of an unfinished sweep may grow before it is closed: this is what a kill or a power cut
/// can lose.
struct PieceLimits {
    std::size_t rows = 65536;
    std::chrono::seconds time{300};
};

/// The result file of a running sweep. Rows are written to parts beside it, OUT.part.0000000 and so on; each
/// is a file that is complete as soon as it has its name. `finish` joins them into OUT, which is not touched
/// before that. An interrupted sweep leaves its rows in OUT.part, and the next call can continue there. All
/// functions throw ResultFileError.
class SweepStore {
  public:
    /// `rows`: the rows of the plan that belong into this file. Without `resume` there must be no rows of an
    /// earlier sweep; with it, the rows that are there must belong to the same sweep.
    SweepStore(std::string out, SweepHead head, RowRange rows, bool resume, PieceLimits limits = {});

    /// First row that is missing; the end of `rows` if nothing is left to run.
    std::size_t next_row() const { return next_; }
    /// Parts that were damaged and are run again, one sentence for each, with the name of OUT.
    std::vector<std::string> const& notes() const { return notes_; }

    void take(SweepBlock const& block);
    /// Leaves the rows so far in OUT.part, and returns its name.
    std::string stop();
    /// Joins all rows into one file under a temporary name, whose path it returns. `commit` then gives it the
    /// name OUT and removes the parts; `discard` removes everything.
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
    bool was_finished_ = false;  // OUT itself already had all rows
    std::optional<SweepWriter> writer_;
    std::string writing_;
    std::size_t written_ = 0;  // rows in the open part
    std::chrono::steady_clock::time_point since_;
    std::string assembled_;
};

/// All finished shards of one sweep, in order; `group`: the command whose rows they hold. Throws
/// ResultFileError, which names shards that do not fit together, are unfinished, overlap or are missing.
std::vector<SweepReader> fitting_shards(std::vector<std::string> const& paths,
                                        std::string const& group = SweepHead().group);
/// Writes their rows as the file that the sweep would write without shards.
void merge_shards(std::vector<SweepReader> const& shards, std::string const& out);

}  // namespace holdwater::sim
