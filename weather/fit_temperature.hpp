#pragma once

#include <array>
#include <vector>

#include "weather/made_temperature.hpp"

namespace holdwater::weather {

/// Temperature of one year, day by day.
struct DailyTemperature {
    std::vector<double> mean_c, range_k;  ///< 365 days; range: warmest less coldest hour
    std::vector<double> light;            ///< standard normal deviate of the day's clearness
};

struct TemperatureFit {
    std::array<MonthTemperature, 12> months{};
    double memory = 0.7;  ///< lag-1 correlation of the variation from day to day, 0 .. 0.95
};

/// Least squares over each month and its neighbors: mean (minus the course of the monthly means) and range,
/// against the deviate of clearness; what is left of the mean is the variation from day to day. Subtracting
/// each month's mean lowers its lag-1 correlation by (1 + 3 r)/n (Kendall 1954, from memory); for a single
/// year this is corrected. Pre: at least one year.
TemperatureFit fit_temperature(std::vector<DailyTemperature> const& years);

}  // namespace holdwater::weather
