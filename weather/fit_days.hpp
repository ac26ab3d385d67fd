#pragma once

#include <array>
#include <vector>

#include "weather/day_chain.hpp"
#include "weather/day_table.hpp"

namespace holdwater::weather {

/// What a typical year lacks compared with the years from which it was chosen, and how much of it is
/// restored. The published selection takes months near the long-term mean, and rejects those with the longest
/// or most runs of cloudy days. The values are those that agree best with seven records
/// (tests/year-to-year/README.md).
struct TypicalRule {
    /// Lag-1 correlation of a month: base + slope phi + by_clearness (K - mean K of the year), 0 .. 0.85.
    double memory_base = 0.30, memory_slope = 0.3, memory_by_clearness = 1.6;
    double slow_share = 0.03, slow_days = 25;  ///< weather/day_chain.hpp
    double spread_factor = 0.94;               ///< on the standard deviation of a month's days
    double smoothing = 0.5;                    ///< of the monthly means, 0 none .. 1 all
    double own_shape = 0.5;                    ///< share of the file's own days in the table of a month
    double darkest = 0.05;                     ///< clearness of the darkest day
    double dark_days_share = 0.14;             ///< weather/day_table.hpp
};

/// The parameters for made days.
struct DayFit {
    std::array<double, 12> clearness{};  ///< means of the months
    std::array<DayTable, 12> days{};
    DayChain chain;
};

/// From the daily clearness of a typical year (365 values).
///   Means: each is moved by `smoothing` toward the second-degree curve through five months (Savitzky &
///     Golay, Analytical Chemistry 36, 1964). Chosen months miss the long-term mean by about 3 %, and their
///     neighbors contain part of it: in the seven records this lowers the miss from 3.0 to 2.4 %.
///   Spread: the variance of the published distribution of days at the month's mean
///     (weather/daily_clearness.hpp), times the ratio of the file's own variance to it, mean of the twelve
///     months, times spread_factor squared. Thirty days of one month show their spread only to 12 %, three
///     months to 7 %; one ratio for the whole year is steadier, and the season follows from the means.
///   Days: a beta distribution with this mean and variance, mixed with the days of the month and its two
///     neighbors themselves.
DayFit fit_typical_year(std::vector<double> const& daily_clearness, TypicalRule const& rule = {});

/// From recorded years, each of 365 values: means, days and lag-1 correlation of each month as recorded. The
/// slow share follows from the spread of the monthly means, moved toward the value of the rule as if that
/// were ten years. Pre: at least one year.
DayFit fit_recorded_years(std::vector<std::vector<double>> const& daily_clearness,
                          TypicalRule const& rule = {});

}  // namespace holdwater::weather
