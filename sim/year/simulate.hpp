#pragma once

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Runs the clock's hours. A pure function: the same inputs give the same bytes (wall_time_s apart).
///
/// Inside an hour the inputs are constant and everything else is exact: a step ends at the earliest of
/// hour's end, taps shut, grid fails or returns, tank at cut-in or cut-out or empty, battery at its transfer,
/// return, charge-to, restart, floor or full level. Within a step battery and tank follow closed forms, so
/// the step's length is free. A running pump's power is taken at its mean over the step.
///
/// Taps: an hour's demand is drawn from its start at the tap flow, then taps are shut.
///
/// Pre: inputs hold hours_per_year values each, all finite and >= 0 (throws models::ParameterError else).
RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock);

}  // namespace holdwater::sim
