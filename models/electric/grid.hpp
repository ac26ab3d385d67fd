#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "models/numeric/random_stream.hpp"

namespace holdwater::models {

/// An outage of the grid, in hours from the start of the run; start included, end excluded.
struct Outage {
    double start_h = 0;
    double end_h = 0;
    friend bool operator==(Outage const&, Outage const&) = default;
};

/// Outages in order of time, without overlap.
using OutageList = std::vector<Outage>;

/// Throws ParameterError if an outage ends before it starts or overlaps the one before it.
void validate(OutageList const& outages);

/// Index of the first outage that ends after `time_h`; the size of the list if there is none.
inline std::size_t outage_after(OutageList const& outages, double time_h) {
    auto const at = std::upper_bound(outages.begin(), outages.end(), time_h,
                                     [](double t, Outage const& o) { return t < o.end_h; });
    return static_cast<std::size_t>(at - outages.begin());
}

/// Whether the grid is up at `time_h` [h].
inline bool grid_up(OutageList const& outages, double time_h) {
    std::size_t const i = outage_after(outages, time_h);
    return i == outages.size() || time_h < outages[i].start_h;
}

/// Next time [h] after `time_h` at which the grid fails or returns; infinity if there is none.
inline double next_grid_change_h(OutageList const& outages, double time_h) {
    std::size_t const i = outage_after(outages, time_h);
    if (i == outages.size()) return std::numeric_limits<double>::infinity();
    return time_h < outages[i].start_h ? outages[i].start_h : outages[i].end_h;
}

/// Parameters for random outages.
struct OutageDrawParameters {
    double interruptions_per_year = 0;  ///< mean number in a year of 8760 h while the grid is up [1/y], >= 0
    double mean_duration_h = 0;         ///< mean length [h], > 0
    double log_sigma = 0;               ///< standard deviation of ln(length) [-], >= 0; 1.0-1.5 from memory
    /// Frequency in each month divided by that of the year [-], >= 0, mean about 1 (season of storms).
    std::array<double, 12> month_factor{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
};

/// Throws ParameterError naming the field.
void validate(OutageDrawParameters const& parameters);

/// Outages by a utility's reliability figures (IEEE 1366): those of ordinary days, and those of major event
/// days, which are few and long. One mean length over both would describe neither.
struct OutageStatistics {
    OutageDrawParameters ordinary;
    std::optional<OutageDrawParameters> major_events;
};

/// Random outages for [0, horizon_h), the same on every machine for the same seed.
///
/// The gaps between the end of one outage and the start of the next are exponential with rate
/// interruptions_per_year / 8760. Lengths are lognormal with the given mean, mu = ln(mean) - sigma^2 / 2.
/// Random numbers: 64-bit Mersenne twister, whose raw output is defined by the C++ standard;
/// u = (raw >> 11) 2^-53; gap = -ln(1 - u) / rate; z = sqrt(-2 ln(1 - u1)) cos(2 pi u2); in the order gap,
/// u1, u2. With month factors the gaps are drawn at the rate of the highest month, and a start is kept with
/// probability factor / highest factor (thinning; this takes one more draw per start, after the gap). Hour 0
/// is 1 January; years have 8760 h. Ordinary and major outages have different lengths: draw them separately
/// and merge them. The last outage may end after the horizon. Leaves out: correlation with clouds (outages in
/// cloudy weather are the harder case), several failures in one storm.
OutageList draw_outages(OutageDrawParameters const& parameters, std::uint64_t seed, double horizon_h);

/// Ordinary outages from `seed`, major events from a stream of their own, merged.
OutageList outages_by(OutageStatistics const& statistics, std::uint64_t seed, double horizon_h);

/// Two lists as one: the grid is out if it is out in either list. The result is in order, and outages that
/// overlap or touch are joined.
OutageList merge(OutageList const& a, OutageList const& b);

/// The times in which an outage is known to come: `ahead_h` before each outage of `least_h` and more until it
/// begins. Source: utilities announce storms and fire-weather shutoffs one or two days ahead, and ordinary
/// outages not at all (common practice, no source).
OutageList warnings_of(OutageList const& outages, double ahead_h, double least_h);

}  // namespace holdwater::models
