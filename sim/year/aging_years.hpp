#pragma once

#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// Runs the clock's hours `years` >= 1 times, one after another. The battery's wells and temperature, the
/// fuel and all water above ground are carried from one to the next, and the battery's capacity fades by what
/// the year wore off it (battery_life.hpp): 1 at the first, 0.8 at the end of its life; then a new battery
/// takes its place. Limits in kW and levels as shares of capacity stay. Switches, timers and the well's
/// drawdown begin each year anew, a generator that runs at the year's end is called again, one that waits for
/// fuel has it; weather, loads and outages repeat. The first year's result, with `years` filled in.
RunResult simulate_years(System const& system, CheckedInputs const& inputs, Clock const& clock, int years);

}  // namespace holdwater::sim
