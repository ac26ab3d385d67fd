#pragma once

#include <string>
#include <vector>

#include "sim/sweep/output_file.hpp"

namespace holdwater::tools {

/// Refuses an ending other than .csv or .h5, a folder that does not exist, and a file that must not be
/// overwritten (sim::check_output), so that a long run does not fail at its end. Empty: nothing will be
/// written.
void check_table_path(std::string const& path, sim::OutputKind const& kind,
                      std::vector<std::string> const& read);

}  // namespace holdwater::tools
