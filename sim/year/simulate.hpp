#pragma once

#include <functional>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

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
RunResult simulate(System const& system, CheckedInputs const& inputs, Clock const& clock);
/// Checks the inputs first; throws what CheckedInputs throws.
RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock);

/// Sees an hour that is over; false stops the run there. `i` counts from the clock's first hour.
using HourWatcher = std::function<bool(int i, HourRecord const& hour)>;

/// Goes through the clock's hours as simulate() does and keeps none of them: for a question that some hours
/// answer.
void watch(System const& system, CheckedInputs const& inputs, Clock const& clock, HourWatcher const& see);

}  // namespace holdwater::sim
