#pragma once

#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "sim/verdict/made_years.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {

/// A second figure of each size, mean over the years: the use of the backup or, without a backup, the hours
/// short of water.
enum class MapFigure { shortage_hours, generator_run_h, grid_kwh };

struct SizeMapCell {
    int held = 0;       ///< years without a shortage, as [required] judges them
    double figure = 0;  ///< MapFigure, mean over the years
};

/// The design with other sizes of array and battery, each through the same years.
struct SizeMap {
    MapFigure figure = MapFigure::shortage_hours;
    std::vector<double> array_factor, battery_factor;  ///< factors on the design's own size; 1 is one of them
    int years = 0;                                     ///< number of made years; 0: the typical year alone
    bool judge_new = false;                       ///< the battery is new; otherwise at the end of its life
    std::vector<std::vector<SizeMapCell>> cells;  ///< one row for each battery
};

/// Six arrays from half to three times the design's own, each with its controller in proportion, and six
/// batteries in the same steps, through the first 20 made years of `options`, or the first 5 if no lanes
/// carry the design (sim/batch), as its own years of the verdict (`judged`) show. Each year begins full, in
/// the season of most light: a size far too small never recovers, which a run-in takes years to find out.
SizeMap size_map(DrawnDesign const& design, DrawOptions const& options, std::vector<DrawnYear> const& judged);

/// The same for the typical year alone, with the battery as it is now.
SizeMap size_map(scenarios::Scenario const& scenario, CheckedInputs const& hourly);

double map_value(Summary const& year, MapFigure figure);

}  // namespace holdwater::sim
