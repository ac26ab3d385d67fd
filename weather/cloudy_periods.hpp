#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Energy of each of the 365 days [kWh/m2] from hourly means [W/m2], for a plane or for any hourly series.
/// Use the plane of the array: in winter the horizontal plane is misleading.
std::vector<double> daily_energy_kwh_m2(PlaneYear const& plane);
std::vector<double> daily_energy_kwh_m2(std::vector<double> const& hourly_w_m2);

/// A run of days.
struct CloudyRun {
    int first_day = 0;  ///< 0 = 1 January
    int days = 0;
    double energy = 0;             ///< sum over the run, in the unit of the daily values
    double percent_of_normal = 0;  ///< of the mean of all days within 30 days of each of its days
    bool over_year_end = false;    ///< contains both 31 December and 1 January
    /// Contains days of two months that come from different calendar years: such a run never happened.
    bool over_seam = false;
};

/// The cloudiest run of each length 1 .. longest_days.
/// Typical years consist of the most ordinary months (Hall et al. 1978), so their long runs are not cloudy
/// enough: the worst 5 days of 20-30 years are commonly 20-50 % below those of the typical year (common
/// practice, from memory). `daily` has one value per day. `file_year` has one per hour, or none if it does
/// not matter whether a run joins different years. With `round_the_year` runs may go from December into
/// January. Of equal runs the earliest is taken.
std::vector<CloudyRun> worst_cloudy_periods(std::vector<double> const& daily, int longest_days,
                                            std::vector<int> const& file_year = {},
                                            bool round_the_year = false);

/// A cloudy period that the user defines.
struct CloudyPeriodOptions {
    int first_day = 0;        ///< 0 .. 364; the period may continue in January
    int days = 5;             ///< 1 .. 365
    double clearness = 0.12;  ///< Kt of each day: 0.05-0.10 dense overcast, 0.15-0.25 ordinary overcast
};

/// Clearness up to which all light of a day in a cloudy period is diffuse.
inline constexpr double overcast_clearness = 0.25;

/// The year with the cloudy period in place of its own days. Each hour has kt = clearness, so the GHI of a
/// day is clearness times the light outside the atmosphere. All of it is diffuse up to a clearness of 0.25;
/// above that it is split by Erbs et al. 1982. The mean temperature of each day stays, and its daily swing is
/// halved. Wind and albedo stay. Throws std::invalid_argument naming field, value and rule, and then leaves
/// the year as it was.
void put_cloudy_period(WeatherYear& year, SunYear const& sun, CloudyPeriodOptions const& options);
WeatherYear with_cloudy_period(WeatherYear const& year, SunYear const& sun,
                               CloudyPeriodOptions const& options);

}  // namespace holdwater::weather
