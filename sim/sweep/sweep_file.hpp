#pragma once

#include <memory>
#include <string>
#include <vector>

#include "sim/files/whole_file.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

/// A sweep's file that is damaged, or was changed since it was written: not a byte of it can be trusted.
class DamagedSweepError : public ResultFileError {
    using ResultFileError::ResultFileError;
};

/// What the rows of a sweep file rest on; stored with them.
struct SweepHead {
    SweepSpec spec;
    std::string scenario_path, scenario_text, option, weather_path;
    std::vector<std::string> provenance;  ///< of the inputs, as far as the scenario states it
    std::string inputs_hash;              ///< YearSweep::inputs_hash
    std::string version;
    std::vector<SweepFigure> figures;
    std::size_t shard = 1, shards = 1;  ///< which part of the plan's rows, of how many
};

/// Why rows of the one cannot stand beside rows of the other, in words; empty: they can. The shard apart.
/// `one` and `other` are called by these names.
std::string difference(SweepHead const& one, std::string const& one_name, SweepHead const& other,
                       std::string const& other_name);

/// A sweep's rows in HDF5. /sweep holds one dataset a column with `units` and `long_name`: a column a key
/// (NaN or an empty text: as in the scenario), `ran` (1, or 0 for a row that was refused), the figures (NaN
/// where not run), and `problem`, the text of the refusal. /inputs holds what they rest on. The row's number
/// in the plan is its place in the dataset plus the attribute first_row of /sweep; end_row says where the
/// file's rows are to end.
///
/// Rows are appended block by block and packed in chunks. The file has its name when `close` has written it,
/// whole, and is sealed (sim/files/seal.hpp). All throw ResultFileError.
class SweepWriter {
  public:
    SweepWriter(std::string path, SweepHead const& head, std::size_t first_row, std::size_t end_row);
    ~SweepWriter();  ///< not closed: nothing was written
    SweepWriter(SweepWriter const&) = delete;
    SweepWriter& operator=(SweepWriter const&) = delete;

    void append(SweepBlock const& block);
    void close();

  private:
    struct Open;
    std::unique_ptr<Open> open_;
};

/// Opening throws DamagedSweepError when the seal does not hold: HDF5 never sees such a file.
class SweepReader {
  public:
    explicit SweepReader(std::string path);
    ~SweepReader();
    SweepReader(SweepReader&&) noexcept;
    SweepReader& operator=(SweepReader&&) noexcept;

    std::string const& path() const;
    SweepHead const& head() const;
    std::size_t first_row() const;
    std::size_t rows() const;     ///< in the file
    std::size_t end_row() const;  ///< where they are to end: first_row + rows of a finished file
    /// Rows from .. from + count - 1 of the file.
    SweepBlock read(std::size_t from, std::size_t count) const;

  private:
    friend void join_sweep_files(std::vector<SweepReader> const& parts, std::string const& path,
                                 SweepHead const& head, RowRange rows);
    struct Open;
    std::unique_ptr<Open> open_;
};

/// The rows of files that follow each other without gap or overlap, as one file. The same rows give the same
/// bytes, however they were cut into files.
void join_sweep_files(std::vector<SweepReader> const& parts, std::string const& path, SweepHead const& head,
                      RowRange rows);

}  // namespace holdwater::sim
