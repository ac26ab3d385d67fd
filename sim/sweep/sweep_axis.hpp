#pragma once

#include <optional>
#include <string>
#include <vector>

#include "sim/sweep/value_spread.hpp"

namespace holdwater::sim {

/// One key that is varied, as typed:
///   battery.capacity=5 kWh,10 kWh                a list
///   array.tilt=20 deg..60 deg/5                  a range, as 5 values with both ends (or none: a..b)
///   use.house.persons=triangular(2, 4, 7)        lowest, most likely, highest
///   well.static_level=normal(30 m, 4 m)          mean, standard deviation; two more numbers: lowest, highest
///   battery.self_discharge_per_month=lognormal(0.03, 2)   median, factor; two more numbers: lowest, highest
///   inverter.idle=uniform(20 W, 60 W)            the same as 20 W..60 W
/// "/5" after a distribution gives the middles of 5 parts of equal probability.
struct SweepAxis {
    std::string key;
    std::vector<std::string> values;    ///< values of a list, or their number after a slash; "10 kWh"
    std::optional<ValueSpread> spread;  ///< of a range or a distribution
    /// Unit of a distribution, or the one that all values of a list share; "" for bare numbers and texts.
    std::string unit;
    bool is_number = false;  ///< all values are numbers in one unit
};

/// Throws std::invalid_argument, which says what was wrong and what is accepted.
SweepAxis read_axis(std::string const& text);

/// A number with its unit as the user types it: "10 kWh".
std::string typed(double value, std::string const& unit);
/// The number of "10 kWh"; the text must be one of a number axis.
double number_in(std::string const& text);

/// The value below which a share of 0..1 lies: the quantile of a distribution, or the value at that place in
/// a list.
std::string value_at(SweepAxis const& axis, double share);

/// Values for a sweep that varies each key alone: those of a list; the ends of a range without a number; for
/// a distribution without a number the values with 10 and 90 percent below them.
std::vector<std::string> values_alone(SweepAxis const& axis);

}  // namespace holdwater::sim
