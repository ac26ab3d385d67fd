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

/// First and last value and the turning points between; repeated and passing values are dropped.
std::vector<double> turning_points(std::span<double const> history);

/// Rainflow counting, ASTM E1049-85 section 5.4.4, of a history of any quantity (state of charge here).
/// With X the last range and Y the one before it: while X >= Y, Y counts 1 and its two points are dropped,
/// but 1/2 and only its first point is dropped when Y contains the start. What is left counts 1/2 each.
/// Ranges are given one by one, not binned, in the order they are found.
/// `slack` lets a range that equals another but for rounding count as equal (unit of the history).
std::vector<CountedRange> rainflow(std::span<double const> history, double slack = 1e-12);

}  // namespace holdwater::models
