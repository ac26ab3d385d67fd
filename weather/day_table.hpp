#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

namespace holdwater::weather {

struct ClearnessDistribution;

/// Clearness of a day by its standard normal deviate: the distribution of the days of a month. Straight lines
/// between the points; constant beyond +-5.
struct DayTable {
    static constexpr int reach = 5, steps = 16;  ///< deviates -5 .. 5, number of points for each unit
    static constexpr std::size_t points = 2 * reach * steps + 1;
    std::array<double, points> clearness{};

    [[nodiscard]] double at(double deviate) const {
        double const place = (deviate + reach) * steps;
        if (!(place > 0)) return clearness.front();
        auto const i = static_cast<std::size_t>(place);
        if (i + 1 >= points) return clearness.back();
        return clearness[i] + (place - static_cast<double>(i)) * (clearness[i + 1] - clearness[i]);
    }
};

/// Deviate of a point of a table.
constexpr double deviate_of(std::size_t point) {
    return static_cast<double>(point) / DayTable::steps - DayTable::reach;
}

/// Mean clearness over all deviates if no day is clearer than `clear`.
double mean(DayTable const& table, double clear = 1);

/// Days distributed by Bendt, Collares-Pereira & Rabl (weather/daily_clearness.hpp).
DayTable table_of(ClearnessDistribution const& d);

/// A beta distribution between `darkest` and `clearest` with a share of dark days anywhere between `darkest`
/// and the mean, so that mean and variance of the whole are as given.
struct BetaDays {
    double mean = 0.5;           ///< darkest < mean < clearest
    double variance = 0.02;      ///< above 0
    double darkest = 0.05;       ///< 0 .. 1
    double clearest = 0.8;       ///< up to 1
    double dark_days_share = 0;  ///< 0 .. 0.3
};
DayTable table_of(BetaDays const& d);

/// Days distributed as in a sample (sorted or not, at least two days): straight lines between its days at the
/// shares (i + 1/2)/n, from `darkest` at share 0.
DayTable table_of(std::vector<double> days, double darkest);

/// The table with deviates shifted so that mean(table, clear) is `wanted`, if that is possible; the darkest
/// and the clearest day stay.
DayTable with_mean(DayTable const& table, double wanted, double clear = 1);

/// A mix, deviate by deviate: `share` of the second table, the rest of the first.
DayTable blend(DayTable const& a, DayTable const& b, double share);

}  // namespace holdwater::weather
