#pragma once

namespace holdwater::scenarios {

/// Least way between two levels of the battery at which something is switched to and fro, as a share of its
/// capacity: narrower, it would be switched without end. Common practice, no source.
inline constexpr double least_band = 0.01;

/// Whether `upper` is at least that far above `lower`, but for rounding.
inline bool apart(double lower, double upper) { return upper - lower >= least_band * (1 - 1e-9); }

}  // namespace holdwater::scenarios
