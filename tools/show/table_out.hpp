#pragma once

#include <string>
#include <vector>

#include "sim/files/table_file.hpp"
#include "sim/sweep/output_file.hpp"

namespace holdwater::tools {

/// Refuses an ending other than .csv or .h5, a folder that does not exist, and a file that must not be
/// overwritten (sim::check_output), so that a long run does not fail at its end. Empty: nothing will be
/// written.
void check_table_path(std::string const& path, sim::OutputKind const& kind,
                      std::vector<std::string> const& read);

/// Writes the tables to a file: CSV (only the first table, as in sim/files/csv_text.hpp) or HDF5 (all of
/// them, with the attributes and the text of the scenario). Written under another name and then renamed.
/// Throws sim::ResultFileError.
void write_table(std::string const& path, std::vector<sim::TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<sim::Table> const& tables);

}  // namespace holdwater::tools
