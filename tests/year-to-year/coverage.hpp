#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "tests/year-to-year/daily_record.hpp"
#include "weather/fit_days.hpp"

namespace holdwater::test {

inline constexpr std::array<int, 4> run_lengths = {3, 7, 14, 21};
inline constexpr std::size_t quantities = 17;  ///< annual mean, twelve monthly means, four runs

/// Name of a quantity: "year", "Jan" .. "Dec", "3 d" .. "21 d".
std::string quantity_name(std::size_t quantity);

/// Figures of each quantity, one a year; a year that lacks the days for a quantity is left out there. Means
/// are daily GHI over the mean of the record; a run is the lowest sum of that many days that begins in the
/// year, over the climate of the same days (mean clearness of the record, smoothed over 21 days).
struct YearFigures {
    std::array<std::vector<double>, quantities> of;
};

/// Light of the record's average year on each day [kWh/m2].
std::array<double, days_of_year> climate_of(DailyRecord const& record);
YearFigures recorded_figures(DailyRecord const& record);
YearFigures made_figures(DailyRecord const& record, weather::DayFit const& fit, std::uint64_t seed,
                         int years);

/// One quantity of one place: what was recorded, and the made years against it.
struct Cell {
    std::string place, quantity;
    int years = 0;  ///< of the record
    double recorded_median = 0, made_median = 0;
    double median_low = 0, median_high = 0;  ///< 5 and 95 % of the median of `years` made years
    double recorded_worst = 0;
    double worst_low = 0, worst_high = 0;  ///< 5 and 95 % of the worst of `years` made years
    double worst_place = 0;                ///< share of such worst years that are worse than the recorded
    double allowed = 0;                    ///< larger of 10 % and two bootstrap standard errors of the median
    [[nodiscard]] double error() const { return made_median / recorded_median - 1; }
};
/// From quantity `first` on; the runs begin at 13.
std::vector<Cell> cells_of(DailyRecord const& record, YearFigures const& recorded, YearFigures made,
                           std::size_t first = 0);

}  // namespace holdwater::test
