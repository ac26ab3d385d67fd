#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/sweep/value_spread.hpp"

namespace holdwater::sim {

/// One key that is varied, as typed:
///   battery.capacity=5 kWh,10 kWh                       a list
///   array.tilt=20 deg..60 deg/5                      a range, as 5 values with both ends (or none: a..b)
///   use.house.persons=triangular(2, 4, 7)            lowest, most likely, highest
///   well.static_level=normal(30 m, 4 m)              mean, standard deviation; with two more: lowest,
///   highest battery.self_discharge_per_month=lognormal(0.03, 2) median, factor; with two more: lowest,
///   highest inverter.idle=uniform(20 W, 60 W)                the same as 20 W..60 W
/// "/5" behind a spread gives the middles of 5 parts of equal probability.
struct SweepAxis {
    std::string key;
    std::vector<std::string> values;    ///< of a list, or with a number after a slash; "10 kWh"
    std::optional<ValueSpread> spread;  ///< of a range or a spread
    std::string unit;  ///< of a spread, or that all values of a list share; "" for bare numbers and texts
    bool is_number = false;  ///< all values are numbers in one unit
};

/// Throws std::invalid_argument with what was wrong and what is accepted.
SweepAxis read_axis(std::string const& text);

/// A number with its unit as a person types it: "10 kWh".
std::string typed(double value, std::string const& unit);
/// The number of "10 kWh"; the text must be one of a number axis.
double number_in(std::string const& text);

/// The value below which a share of 0..1 lies: of a spread its quantile, of a list the value at that share of
/// it.
std::string value_at(SweepAxis const& axis, double share);

/// Values for a sweep of each key alone: those listed; of a range without a number its ends; of a spread
/// without a number the values with 10 and 90 per cent below them.
std::vector<std::string> values_alone(SweepAxis const& axis);

}  // namespace holdwater::sim
