#pragma once

namespace holdwater::scenarios {

/// Smallest difference between two SOC at which something is switched on and off. With a smaller one it would
/// switch on and off without end. Common practice, no source.
inline constexpr double least_band = 0.01;

/// Whether `upper` is at least that far above `lower`, except for rounding.
inline bool apart(double lower, double upper) { return upper - lower >= least_band * (1 - 1e-9); }

}  // namespace holdwater::scenarios
