#pragma once

#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// Runs the hours of the clock `years` >= 1 times, one year after another. The battery's wells and
/// temperature, the fuel and all water above ground are carried over to the next year. The battery's capacity
/// fades by the wear of the year (battery_life.hpp): it is 1 in the first year and 0.8 at the end of its
/// life; then a new battery replaces it. Limits in kW, and limits as shares of capacity, stay the same.
/// Switches, timers and the drawdown of the well start again each year. A generator that runs at the end of a
/// year is called again; one that waits for fuel has been refueled. Weather, loads and outages repeat. The
/// result is that of the first year, with `years` filled in.
RunResult simulate_years(System const& system, CheckedInputs const& inputs, Clock const& clock, int years);

}  // namespace holdwater::sim
