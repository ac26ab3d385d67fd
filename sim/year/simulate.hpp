#pragma once

#include <functional>
#include <span>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// What is kept of a run: `days_and_summary` leaves out its hours, events, outages and findings, for studies
/// of many years that ask for nothing else. The days and the summary are the same.
enum class Keep { everything, days_and_summary };

/// Runs the hours of the clock. A pure function: the same inputs give the same bytes (except wall_time_s).
///
/// Inside an hour the inputs are constant and everything else is exact. A step ends at the first of these:
/// end of the hour, taps shut, grid fails or returns, tank at cut-in or cut-out or empty, battery at a SOC at
/// which a rule applies, at its minimum SOC or full. Within a step battery and tank follow closed forms, so
/// the step can have any length. A running pump draws its mean power over the step.
///
/// Taps: they draw the demand of an hour at the tap flow from its beginning, and then they are shut.
///
RunResult simulate(System const& system, CheckedInputs const& inputs, Clock const& clock,
                   Keep keep = Keep::everything);
/// Checks the inputs first; throws the same as CheckedInputs.
RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock);

/// Gets each hour when it is over, with its events in order of time; false stops the run there. `i` counts
/// from the first hour of the clock.
using HourWatcher = std::function<bool(int i, HourRecord const& hour, std::span<Event const> events)>;

/// Runs the hours of the clock as simulate() does, but keeps none of them: for questions that need only part
/// of the year.
void watch(System const& system, CheckedInputs const& inputs, Clock const& clock, HourWatcher const& see);

}  // namespace holdwater::sim
