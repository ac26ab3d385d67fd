#pragma once

#include <string>
#include <vector>

#include "sim/files/stored_run.hpp"

namespace holdwater::tools {

/// Whether the repeated run agrees with its result file, and where it does not.
std::string repeat_answer(std::string const& path, sim::StoredRun const& stored,
                          std::vector<sim::Difference> const& differences, std::string const& version);

/// The same as JSON.
std::string repeat_json(std::string const& path, sim::StoredRun const& stored,
                        std::vector<sim::Difference> const& differences, std::string const& version);

}  // namespace holdwater::tools
