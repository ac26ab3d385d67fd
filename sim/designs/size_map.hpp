#pragma once

#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/make_inputs.hpp"

namespace holdwater::sim {

/// The figure of a year that tells one size from another: the backup's use, or without a backup the hours
/// short of water.
enum class MapFigure { shortage_hours, generator_run_h, grid_kwh };

/// The year with other sizes of array and battery.
struct SizeMap {
    MapFigure figure = MapFigure::shortage_hours;
    std::vector<double> array_factor, battery_factor;  ///< of the design's own; 1 is among them
    std::vector<std::vector<Summary>> years;           ///< one row a battery
};

/// Six arrays from half to three times the design's own, each with its controller, by six batteries likewise.
SizeMap size_map(System const& system, HourlyInputs const& hourly);

double map_value(Summary const& year, MapFigure figure);

}  // namespace holdwater::sim
