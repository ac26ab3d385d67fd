#pragma once

#include <limits>
#include <vector>

#include "sim/autonomy/store_levels.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::sim {

/// Days something lasts, over many starts; infinity: to the end of what was looked at.
struct WorstAndMedian {
    double worst_d = std::numeric_limits<double>::infinity();
    double median_d = std::numeric_limits<double>::infinity();  ///< half of the starts last at least so long
    int worst_day = 0;                                          ///< 0 = 1 January
};

/// Worst and median of hours; the first of equals is the worst.
WorstAndMedian worst_and_median(std::vector<double> const& hours, std::vector<int> const& first_days);

/// Autonomy: days from sunset to the first shortage of water. The battery is full; cistern and troughs hold
/// what the typical year has in them at that hour and date; there is no sun and no backup. The first shortage
/// is the start of the first hour in which some of the water wanted does not come. Worst and median over the
/// start dates; infinity: more than `autonomy_looked_at_d`.
struct Autonomy {
    WorstAndMedian water;
    WorstAndMedian power;  ///< from the same sunsets to the inverter's first stop
};
inline constexpr int autonomy_looked_at_d = 60;

/// The first whole hour after sunset of each of the 365 days, as an hour of the year; the midnight that ends
/// the day where the sun does not set, or does not rise.
std::vector<int> sunset_hours(weather::SunYear const& sun);

/// `dark`: inputs of a year without sun. `levels`: see start_levels, with the battery named full.
Autonomy autonomy_of(System const& design, HourlyInputs const& dark, std::vector<StoreLevels> const& levels,
                     std::vector<int> const& sunset_hours, std::vector<int> const& first_days);

}  // namespace holdwater::sim
