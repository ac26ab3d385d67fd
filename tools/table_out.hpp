#pragma once

#include <string>
#include <vector>

#include "sim/table_file.hpp"

namespace holdwater::tools {

/// Refuses an ending other than .csv or .h5 and a folder that is not there, before a long run finds out at
/// its end. Empty: nothing is to be written.
void check_table_path(std::string const& path);

/// The tables to a file: CSV (the first table alone, as in sim/csv_text.hpp) or HDF5 (all of them, with the
/// attributes and the scenario's text). Written under another name and renamed. Throws sim::ResultFileError.
void write_table(std::string const& path, std::vector<sim::TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<sim::Table> const& tables);

}  // namespace holdwater::tools
