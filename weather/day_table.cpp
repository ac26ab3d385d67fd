#include "weather/day_table.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>

#include "models/numeric/in_double.hpp"
#include "weather/daily_clearness.hpp"

namespace holdwater::weather {

namespace {

/// Value at the share `p` of a curve given by rising shares.
double value_at(std::vector<double> const& share, std::vector<double> const& value, double p) {
    auto const above = std::upper_bound(share.begin(), share.end(), p);
    if (above == share.begin()) return value.front();
    if (above == share.end()) return value.back();
    auto const i = static_cast<std::size_t>(above - share.begin());
    double const width = share[i] - share[i - 1];
    return value[i - 1] + (width > 0 ? (p - share[i - 1]) / width : 1.0) * (value[i] - value[i - 1]);
}

DayTable table_through(std::vector<double> const& share, std::vector<double> const& value) {
    DayTable table;
    for (std::size_t i = 0; i < DayTable::points; ++i)
        table.clearness[i] = value_at(share, value, normal_share_below(deviate_of(i)));
    return table;
}

}  // namespace

double mean(DayTable const& table, double clear) {
    double sum = 0, weights = 0;
    for (std::size_t i = 0; i < DayTable::points; ++i) {
        double const z = deviate_of(i), weight = std::exp(-0.5 * z * z);
        sum += weight * std::min(clear, table.clearness[i]);
        weights += weight;
    }
    return sum / weights;
}

DayTable table_of(ClearnessDistribution const& d) {
    DayTable table;
    for (std::size_t i = 0; i < DayTable::points; ++i)
        table.clearness[i] = clearness_at(d, normal_share_below(deviate_of(i)));
    return table;
}

DayTable table_of(BetaDays const& d) {
    double dark = d.dark_days_share;
    double const dark_mean = 0.5 * (d.darkest + d.mean),
                 dark_variance = (d.mean - d.darkest) * (d.mean - d.darkest) / 12;
    double const mean = (d.mean - dark * dark_mean) / (1 - dark);
    double variance =
        (d.variance + d.mean * d.mean - dark * (dark_variance + dark_mean * dark_mean)) / (1 - dark) -
        mean * mean;
    // Dark days alone may already give more spread than asked for; the other days then keep a little spread.
    constexpr double least_share_of_spread = 0.15;
    variance = std::max(variance, least_share_of_spread * least_share_of_spread * d.variance);
    double const clearest = std::max(d.clearest, mean + 0.03), width = clearest - d.darkest;
    double const m = (mean - d.darkest) / width;
    double const sum = std::max(0.3, m * (1 - m) * width * width / variance - 1);
    constexpr int steps = 600;
    std::vector<double> share, value;
    for (int i = 0; i <= steps; ++i) {
        // Points closer together at both ends, where a beta distribution may be steep.
        double const x = 0.5 * (1 - std::cos(std::numbers::pi * i / steps));
        value.push_back(d.darkest + width * x);
        double const below_dark = std::clamp((value.back() - d.darkest) / (d.mean - d.darkest), 0.0, 1.0);
        share.push_back((1 - dark) * boost::math::ibeta(m * sum, (1 - m) * sum, x, models::InDouble()) +
                        dark * below_dark);
    }
    return table_through(share, value);
}

DayTable table_of(std::vector<double> days, double darkest) {
    std::sort(days.begin(), days.end());
    std::vector<double> share{0}, value{std::min(darkest, days.front())};
    for (std::size_t i = 0; i < days.size(); ++i) {
        share.push_back((static_cast<double>(i) + 0.5) / static_cast<double>(days.size()));
        value.push_back(days[i]);
    }
    return table_through(share, value);
}

DayTable with_mean(DayTable const& table, double wanted, double clear) {
    auto const moved = [&](double by) {
        DayTable t;
        for (std::size_t i = 0; i < DayTable::points; ++i) t.clearness[i] = table.at(deviate_of(i) + by);
        return t;
    };
    double low = -3, high = 3;
    for (int step = 0; step < 40; ++step) {
        double const middle = 0.5 * (low + high);
        (mean(moved(middle), clear) < wanted ? low : high) = middle;
    }
    return moved(0.5 * (low + high));
}

DayTable blend(DayTable const& a, DayTable const& b, double share) {
    DayTable t;
    for (std::size_t i = 0; i < DayTable::points; ++i)
        t.clearness[i] = (1 - share) * a.clearness[i] + share * b.clearness[i];
    return t;
}

}  // namespace holdwater::weather
