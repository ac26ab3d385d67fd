#pragma once

#include <vector>

#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Energy of each of the 365 days [kWh/m2] from hour means [W/m2]; of a plane, or of any hourly series.
/// Use the real plane: in winter the horizontal misleads.
std::vector<double> daily_energy_kwh_m2(PlaneYear const& plane);
std::vector<double> daily_energy_kwh_m2(std::vector<double> const& hourly_w_m2);

/// A run of days.
struct Spell {
    int first_day = 0;  ///< 0 = 1 January
    int days = 0;
    double energy = 0;             ///< sum over the run, in the unit of the daily values
    double percent_of_normal = 0;  ///< of what the days within 30 days of each of its days bring on average
    bool over_year_end = false;    ///< joins 31 December to 1 January
    /// Joins two months that come from different calendar years: in a typical year such a run never happened.
    bool over_seam = false;
};

/// The poorest run of each length 1 .. longest_days.
/// Typical years are made of the most ordinary months (Hall et al. 1978) and understate long runs: the worst
/// 5 days of 20-30 years are commonly 20-50 % below those of the typical year (common practice, from memory).
/// `daily` holds one value per day; `file_year` one per hour, or nothing when seams do not matter.
/// `round_the_year` lets runs cross from December into January. Ties: the earliest.
std::vector<Spell> worst_cloudy_periods(std::vector<double> const& daily, int longest_days,
                                        std::vector<int> const& file_year = {}, bool round_the_year = false);

/// Usable storage that carries every day's load, by the sequent peak of Thomas & Fiering 1963:
/// D(d) = max(0, D(d-1) + load(d) - supply(d)), twice round the year, no losses.
struct StorageNeed {
    double energy = 0;           ///< largest deficit; meaningless when the year's supply is below its load
    int deepest_day = 0;         ///< day at whose end the deficit is largest
    int first_day = 0;           ///< first day of the run that ends there
    bool never_refills = false;  ///< the year's supply does not cover its load
};
StorageNeed storage_need(std::vector<double> const& supply, std::vector<double> const& load);

/// A dull run of one's own.
struct CloudyPeriodOptions {
    int first_day = 0;        ///< 0 .. 364; the run may pass the end of the year into its start
    int days = 5;             ///< 1 .. 365
    double clearness = 0.12;  ///< Kt of each day: 0.05-0.10 dense overcast, 0.15-0.25 ordinary overcast
};

/// Clearness up to which a day of a cloudy period is all diffuse.
inline constexpr double overcast_clearness = 0.25;

/// The year with the days of the cloudy period in place of its own. Each hour gets kt = clearness, so a day's
/// GHI is clearness times extraterrestrial; all of it is diffuse up to 0.25, above that split by Erbs et al.
/// 1982. Temperature: the day's mean stays, its swing about the mean is halved. Wind and albedo stay. Throws
/// std::invalid_argument naming field, value and rule.
WeatherYear with_cloudy_period(WeatherYear const& year, SunYear const& sun,
                               CloudyPeriodOptions const& options);

}  // namespace holdwater::weather
