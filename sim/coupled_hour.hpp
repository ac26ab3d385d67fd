#pragma once

#include "sim/load_shedding.hpp"
#include "sim/supply_side.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {

/// An optional series of HourlyInputs.
inline double value_or(std::vector<double> const& values, std::size_t hour, double otherwise) {
    return values.empty() ? otherwise : values[hour];
}

/// One hour (counted from the beginning of the first year) of supply and water side together, step by step:
/// the way that holds for every hour. Fills the record's powers, run times and water.
void coupled_hour(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
                  LoadShedding& loads, int hour, HourRecord& r);

/// The levels at the end of an hour and what it was given.
void end_hour(HourlyInputs const& inputs, SupplySide const& supply, LoadShedding const& loads, int hour,
              HourRecord& r);

}  // namespace holdwater::sim
