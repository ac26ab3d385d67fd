#pragma once

#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// What of the water side a designer should look at after a run, one sentence each; empty when all is well.
/// Limits: starts a day by motor size and least run of models/electric/motor.hpp; more than 6 hours of
/// pumping a day asks for a larger battery and array (common practice, no source).
std::vector<std::string> water_remarks(System const& system, RunResult const& result);

}  // namespace holdwater::sim
