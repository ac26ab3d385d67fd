#pragma once

#include "scenarios/scenario.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A weather year turned into the hours that drive the design: array power, small loads, water demand.
HourlyInputs make_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year);

/// Enters into a finished run what the controller's voltage window kept from it: into the hours'
/// array_window_loss_kw, and into what the array had available (hours, days, summary), so that available =
/// used + curtailed + window loss. Changes nothing where there is no such loss.
void book_window_loss(RunResult& result, HourlyInputs const& inputs);

}  // namespace holdwater::sim
