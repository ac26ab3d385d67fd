#pragma once

#include <span>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/supply/supply_side.hpp"
#include "sim/water/pump_marks.hpp"
#include "sim/water/water_side.hpp"

namespace holdwater::sim {

/// Findings from the extremes of the pump over the run and the times of its starts. `motor`: that of the
/// pump.
void find_pump(Findings& findings, WaterSystem const& system, MotorDuty const& motor, PumpMarks const& marks,
               std::span<double const> starts_s, Clock const& clock);
/// Findings from the counts of battery, inverter and generator.
void find_supply(Findings& findings, SupplySide const& supply);
/// Highest flow that all taps draw at the same time.
double peak_draw_m3_s(HourlyInputs const& inputs);
/// Whether the largest start of a small load in the hour, in addition to the loads of the hour and a pump
/// that runs in it, is more than the inverter carries for a second. Pre: inputs.load_start_va is not empty.
bool load_start_over(System const& system, HourlyInputs const& inputs, std::size_t hour_of_year,
                     HourRecord const& r);

/// Fills `result.uses`, and the part of `result.findings` that does not follow from the hours alone (see
/// YearBooks).
void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water);

}  // namespace holdwater::sim
