#pragma once

#include <array>
#include <vector>

#include "weather/day_chain.hpp"

namespace holdwater::weather {

/// Air temperature of the days of a month. Mean of a day: that of the season, plus `mean_by_light_k` for each
/// standard deviate of clearness, plus a variation from day to day. Range of a day: `range_k` plus
/// `range_by_light_k` for each deviate. In six daily records (Ireland, Netherlands, North Dakota, India,
/// Pakistan) the mean falls by 0 to 3.3 K for each deviate in winter and rises by 0.1 to 1.1 K in summer, and
/// the range grows by 5 to 31 % of itself: clear winter nights are the coldest.
struct MonthTemperature {
    double mean_c = 10;           ///< -50 .. 50
    double range_k = 12;          ///< 0 .. 30
    double mean_by_light_k = 0;   ///< -10 .. 10
    double range_by_light_k = 3;  ///< -10 .. 10
    double wander_k = 3;          ///< standard deviation of the variation from day to day, 0 .. 15
};

/// If only a mean and a range are known: in the cold season a clear day is colder by 1.3 K for each deviate,
/// in the warm season warmer by 0.7 K (mean of the six records), the range changes by a quarter (upper end of
/// the records), and days vary by 3 K.
std::array<MonthTemperature, 12> usual_temperatures(std::array<double, 12> const& mean_c, double range_k,
                                                    double latitude_deg);

/// Monthly values as a course through the hours of the year that keeps their means: straight lines between
/// the middles of the months, shifted until the mean of each month is right.
std::vector<double> through_the_months(std::array<double, 12> const& monthly);

/// Temperatures of the 8760 hours. `season_c` is the course of the months' mean_c through the hours. A day is
/// coldest near 05:00 and warmest near 15:00 (common practice, no source). `keep_means`: each month has
/// exactly its mean.
std::vector<double> make_temperature(std::array<MonthTemperature, 12> const& months,
                                     std::vector<double> const& season_c, DayDeviates const& days,
                                     bool keep_means);

}  // namespace holdwater::weather
