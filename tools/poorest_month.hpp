#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::tools {

/// Mean energy of a day in the poorest month, from the array's year [kWh].
inline double poorest_month_kwh_per_day(std::vector<double> const& array_w) {
    double poorest = std::numeric_limits<double>::infinity();
    for (std::size_t month = 0; month < 12; ++month) {
        auto const first = static_cast<std::size_t>(weather::month_start_hour[month]);
        auto const next = static_cast<std::size_t>(weather::month_start_hour[month + 1]);
        double sum_w = 0;
        for (std::size_t h = first; h < next; ++h) sum_w += array_w[h];
        poorest = std::min(poorest, 24e-3 * sum_w / static_cast<double>(next - first));
    }
    return poorest;
}

}  // namespace holdwater::tools
