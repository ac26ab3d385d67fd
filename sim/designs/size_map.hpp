#pragma once

#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/make_inputs.hpp"

namespace holdwater::sim {

/// The figure of a year that shows the effect of size: the use of the backup or, without a backup, the hours
/// short of water.
enum class MapFigure { shortage_hours, generator_run_h, grid_kwh };

/// The year with other sizes of array and battery.
struct SizeMap {
    MapFigure figure = MapFigure::shortage_hours;
    std::vector<double> array_factor, battery_factor;  ///< factors on the design's own size; 1 is one of them
    std::vector<std::vector<Summary>> years;           ///< one row for each battery
};

/// Six arrays from half to three times the design's own, each with its controller in proportion, and six
/// batteries in the same steps.
SizeMap size_map(System const& system, HourlyInputs const& hourly);

double map_value(Summary const& year, MapFigure figure);

}  // namespace holdwater::sim
