#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdwater::sim {

/// One key that is varied, as typed: "bank.capacity=5 kWh,10 kWh" (a list) or "array.tilt=20 deg..60 deg/5"
/// (a range with so many values, both ends among them).
struct SweepAxis {
    std::string key;
    std::vector<std::string> values;  ///< as a person types them, "10 kWh"
    bool is_range = false;
    double low = 0, high = 0;  ///< of a range
    std::string unit;  ///< of a range, or that all values of a list share; "" for bare numbers and texts
    std::optional<std::vector<double>> numbers;  ///< of the values, when all are numbers in one unit
};

/// Throws std::invalid_argument with what was wrong and what is accepted.
SweepAxis read_axis(std::string const& text);

/// A number with its unit as a person types it: "10 kWh".
std::string typed(double value, std::string const& unit);

/// One run: a value for each axis; "" keeps what the scenario says.
using SweepRow = std::vector<std::string>;

/// Every combination; the last axis changes fastest.
std::vector<SweepRow> full_grid(std::vector<SweepAxis> const& axes);
/// The scenario as it is, then each value of each axis alone.
std::vector<SweepRow> one_at_a_time(std::vector<SweepAxis> const& axes);
/// Latin hypercube: `count` rows; each axis cut into `count` equal strata, one point at random in each, in an
/// order of its own (McKay, Beckman & Conover, Technometrics 21 (1979) 239, from memory). A list is cut into
/// its values evenly. The same seed gives the same rows on every machine.
std::vector<SweepRow> latin_hypercube(std::vector<SweepAxis> const& axes, int count, std::uint64_t seed);

}  // namespace holdwater::sim
