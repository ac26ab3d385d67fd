#pragma once

#include <memory>
#include <string>
#include <vector>

#include "sim/files/whole_file.hpp"
#include "sim/sweep/sweep_blocks.hpp"
#include "sim/sweep/sweep_plan.hpp"

namespace holdwater::sim {

/// A sweep file that is damaged or was changed after it was written; nothing in it can be trusted.
class DamagedSweepError : public ResultFileError {
    using ResultFileError::ResultFileError;
};

/// The inputs of the rows of a sweep file; stored with them.
struct SweepHead {
    SweepSpec spec;
    std::string scenario_path, scenario_text, option, weather_path;
    std::vector<std::string> provenance;  ///< provenance of the inputs, as far as the scenario gives it
    std::string inputs_hash;              ///< YearSweep::inputs_hash
    std::string version;
    std::vector<SweepFigure> figures;
    std::string group = "sweep";          ///< of the rows in the file: the command that made them
    std::vector<SweepFigure> texts{};     ///< text columns
    std::vector<std::string> settings{};  ///< what else the rows depend on, "name = value"; compared
    std::size_t shard = 1, shards = 1;    ///< part of the plan's rows: which one, of how many
};

/// Why rows of the one file cannot be joined with rows of the other, in words; empty: they can. The shard is
/// not compared. `one` and `other` are the names of the files in the text.
std::string difference(SweepHead const& one, std::string const& one_name, SweepHead const& other,
                       std::string const& other_name);

/// The rows of a sweep, or of another study in rows, in HDF5. /sweep (SweepHead::group) has one dataset for
/// each column, with `units` and `long_name`: a column for each key (NaN or an empty text: as in the
/// scenario), `ran` (1, or 0 for a row that was refused), the figures (NaN if not run), text columns, and
/// `problem`, the text of the refusal. /inputs has the inputs of the rows. The number of a row in the plan is
/// its place in the dataset plus the attribute first_row of /sweep; end_row says where the rows of the file
/// are to end.
///
/// Rows are appended block by block and compressed in chunks. The file gets its name when `close` has written
/// it completely; it ends with a checksum (sim/files/seal.hpp). All functions throw ResultFileError.
class SweepWriter {
  public:
    SweepWriter(std::string path, SweepHead const& head, std::size_t first_row, std::size_t end_row);
    ~SweepWriter();  ///< if it was not closed, nothing was written
    SweepWriter(SweepWriter const&) = delete;
    SweepWriter& operator=(SweepWriter const&) = delete;

    void append(SweepBlock const& block);
    void close();

  private:
    struct Open;
    std::unique_ptr<Open> open_;
};

/// Opening throws DamagedSweepError if the checksum is wrong, so HDF5 never reads such a file.
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

/// The rows of files that follow one another without gap or overlap, as one file. The same rows give the same
/// bytes, whatever their division into files was.
void join_sweep_files(std::vector<SweepReader> const& parts, std::string const& path, SweepHead const& head,
                      RowRange rows);

}  // namespace holdwater::sim
