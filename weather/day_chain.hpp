#pragma once

#include <array>
#include <cstdint>
#include <vector>

namespace holdwater::weather {

/// How days follow one another. The standard normal deviate of a day's clearness is
///   chi = sqrt(1 - v) a + sqrt(v) s,   a' = phi a + sqrt(1 - phi^2) e,   s' = q s + sqrt(1 - q^2) e'
/// a: weather from day to day (Graham, Hollands & Brunger, Solar Energy 40 (1988) 83). s: cloudy or sunny
/// periods of weeks, which make whole months differ and neighboring months alike. Temperature has variations
/// of its own, t' = r t + sqrt(1 - r^2) e'', independent of the clearness.
struct DayChain {
    std::array<double, 12> day_to_day{};  ///< phi of each month, 0 .. 0.9
    double slow_share = 0;                ///< v, 0 .. 0.5
    double slow_days = 30;                ///< days in which s falls to 1/e: q = exp(-1/slow_days), 1 .. 60
    double temperature_memory = 0.7;      ///< r, 0 .. 0.95
};

/// Standard normal deviates of the days of a year.
struct DayDeviates {
    std::array<double, 365> clearness{}, temperature{};
};

/// Year `index` (0, 1, ...) of the seed. It depends only on seed and index, and continues the year before it:
/// the chain first runs through the random numbers of year index - 1, after which its starting value has been
/// forgotten (to exp(-365/slow_days)).
DayDeviates day_deviates(DayChain const& chain, std::uint64_t seed, int index);

/// Month (0 .. 11) of each day of the year.
extern std::array<std::uint8_t, 365> const month_of_day;

}  // namespace holdwater::weather
