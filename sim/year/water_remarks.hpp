#pragma once

#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// What a designer should look at on the water side after a run, in one sentence each; empty if all is well.
/// Limits: starts a day by motor size and shortest run from models/electric/motor.hpp; more than 6 hours of
/// pumping a day need a larger battery and array (common practice, no source).
std::vector<std::string> water_remarks(System const& system, RunResult const& result);

}  // namespace holdwater::sim
