#pragma once

#include <span>
#include <vector>

namespace holdwater::models {

/// One counted range of a history.
struct CountedRange {
    double range = 0;  ///< size, unit of the history, > 0
    double count = 0;  ///< 1 for a whole cycle, 0.5 for half of one
    double mean = 0;   ///< midpoint of the range
};

/// The first and the last value and the turning points between them. Repeated values and values on the way
/// are dropped.
std::vector<double> turning_points(std::span<double const> history);

/// Rainflow counting, ASTM E1049-85 section 5.4.4, of a history of any quantity (state of charge here).
/// X is the last range and Y the one before it. While X >= Y, Y counts as one cycle and its two points are
/// dropped; but if Y contains the start, it counts 1/2 and only its first point is dropped. Each range that
/// is left at the end counts 1/2. Ranges are returned one by one, not binned, in the order in which they are
/// found. Two ranges that differ by `slack` or less count as equal (unit of the history).
std::vector<CountedRange> rainflow(std::span<double const> history, double slack = 1e-12);

}  // namespace holdwater::models
