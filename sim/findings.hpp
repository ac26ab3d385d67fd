#pragma once

#include "sim/run_result.hpp"
#include "sim/system.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {

/// Fills of `result.findings` what does not follow from the hours alone (see YearBooks), and `result.uses`.
void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water);

}  // namespace holdwater::sim
