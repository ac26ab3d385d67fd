#pragma once

#include <string>
#include <vector>

#include "sim/files/table_file.hpp"
#include "sim/sweep/output_file.hpp"

namespace holdwater::tools {

/// Refuses an ending other than .csv or .h5, a folder that is not there, and a file that must not be written
/// over (sim::check_output), before a long run finds out at its end. Empty: nothing is to be written.
void check_table_path(std::string const& path, sim::OutputKind const& kind,
                      std::vector<std::string> const& read);

/// The tables to a file: CSV (the first table alone, as in sim/files/csv_text.hpp) or HDF5 (all of them, with
/// the attributes and the scenario's text). Written under another name and renamed. Throws
/// sim::ResultFileError.
void write_table(std::string const& path, std::vector<sim::TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<sim::Table> const& tables);

}  // namespace holdwater::tools
