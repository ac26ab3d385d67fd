#pragma once

#include <limits>
#include <vector>

#include "sim/autonomy/store_levels.hpp"
#include "sim/base/run_result.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::sim {

/// How many days something lasts, over many start dates. Infinity: until the end of the time that was run.
struct WorstAndMedian {
    double worst_d = std::numeric_limits<double>::infinity();
    /// At least half of the starts last this long.
    double median_d = std::numeric_limits<double>::infinity();
    int worst_day = 0;  ///< 0 = 1 January
};

/// Worst and median of a number of hours; of equal hours the first one is the worst.
WorstAndMedian worst_and_median(std::vector<double> const& hours, std::vector<int> const& first_days);

/// Autonomy: days from sunset to the first shortage of water. At sunset the battery is full, and cistern and
/// troughs hold what they hold in the typical year at that hour and date. There is no sun and no backup. The
/// first shortage is the start of the first hour in which some of the water demand is not delivered. Given
/// for the worst and the median start date; infinity: more than `autonomy_looked_at_d`.
struct Autonomy {
    WorstAndMedian water;
    WorstAndMedian power;  ///< from the same sunsets until the inverter switches off for the first time
    /// Why water is first short from the worst start date; none: it is not.
    LimitReason water_reason = LimitReason::none;
};
inline constexpr int autonomy_looked_at_d = 60;

/// Whether water is short for another reason than power: well, pump, float valve or the pump's own
/// protection.
bool not_for_power(LimitReason reason);

/// The first full hour after sunset of each of the 365 days, as an hour of the year. On a day on which the
/// sun does not set, or does not rise, the midnight at the end of the day.
std::vector<int> sunset_hours(weather::SunYear const& sun);

/// `dark`: inputs of a year without sun. `levels`: see start_levels, with the battery set to full.
Autonomy autonomy_of(System const& design, HourlyInputs const& dark, std::vector<StoreLevels> const& levels,
                     std::vector<int> const& sunset_hours, std::vector<int> const& first_days);

}  // namespace holdwater::sim
