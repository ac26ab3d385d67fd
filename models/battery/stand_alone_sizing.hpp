#pragma once

namespace holdwater::models {

/// Hand calculation of the size of a stand-alone system, for comparison with the simulation. It gives a first
/// figure and a check, not a design. The steps follow IEEE 1562 and IEEE 1013 (from memory, in own words).

/// Days until a battery is full again after a discharge of `removed_ah`:
/// removed / ((array to load - 1) x daily load); infinite for a ratio of 1 or less.
double recharge_days(double removed_ah, double array_to_load, double daily_load_ah);

}  // namespace holdwater::models
