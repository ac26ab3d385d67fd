#pragma once

#include <span>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/supply/supply_side.hpp"
#include "sim/water/pump_marks.hpp"
#include "sim/water/water_side.hpp"

namespace holdwater::sim {

/// What follows from the pump's marks over the run and the times of its starts. `motor`: its own.
void find_pump(Findings& findings, WaterSystem const& system, MotorDuty const& motor, PumpMarks const& marks,
               std::span<double const> starts_s, Clock const& clock);
/// What battery, inverter and generator have counted.
void find_supply(Findings& findings, SupplySide const& supply);
/// Most that all taps draw at a time.
double peak_draw_m3_s(HourlyInputs const& inputs);
/// Whether the hour's largest start of a small load, on top of the hour's loads and a pump that runs in it,
/// is more than the inverter stands for a second. Pre: inputs.load_start_va is not empty.
bool load_start_over(System const& system, HourlyInputs const& inputs, std::size_t hour_of_year,
                     HourRecord const& r);

/// Fills of `result.findings` what does not follow from the hours alone (see YearBooks), and `result.uses`.
void find(RunResult& result, System const& system, HourlyInputs const& inputs, WaterSide const& water);

}  // namespace holdwater::sim
