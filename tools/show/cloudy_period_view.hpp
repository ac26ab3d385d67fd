#pragma once

#include <string>
#include <vector>

#include "weather/cloudy_periods.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

inline constexpr int longest_cloudy_period_days = 21;

/// The cloudiest periods of a weather year on one plane, with the sky model of Perez, and a ground
/// reflectance of 0.2 if the file has none.
struct CloudyPeriodReport {
    weather::Plane plane;
    bool round_the_year = false;
    std::vector<double> daily_kwh_m2;           ///< 365
    std::vector<weather::CloudyRun> cloudiest;  ///< for runs of 1, 2, .. 21 days
};

/// Tilt equal to the latitude, facing the equator.
weather::Plane latitude_plane(weather::Site const& site);

CloudyPeriodReport find_cloudy_periods(weather::WeatherYear const& year, weather::Plane const& plane,
                                       bool round_the_year);

/// `share` (limited to 0 .. 1) of `width` characters: blocks in eighths, or '#' if `plain`.
std::string bar(double share, int width, bool plain);

/// Table of runs with bars in percent of normal, then the days around the worst five.
std::string cloudy_period_table(CloudyPeriodReport const& report, bool plain);

}  // namespace holdwater::tools
