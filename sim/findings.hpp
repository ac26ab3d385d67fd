#pragma once

#include "sim/run_result.hpp"
#include "sim/system.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {

/// Fills `result.findings` and `result.uses` from the finished run.
void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water);

}  // namespace holdwater::sim
