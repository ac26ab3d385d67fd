#include "weather/daily_clearness.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/expects.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

ClearnessDistribution clearness_distribution(double k) {
    HOLDWATER_EXPECTS(k >= 0.15 && k <= 0.78);
    double const least = 0.05;
    double const most = 0.6313 + 0.267 * k - 11.9 * std::pow(k - 0.75, 8);
    double const xi = (most - least) / (most - k);
    double const gamma = -1.498 + (1.184 * xi - 27.182 * std::exp(-1.5 * xi)) / (most - least);
    return {least, most, gamma};
}

double share_below(ClearnessDistribution const& d, double kt) {
    double const x = std::clamp(kt, d.least, d.most);
    if (std::abs(d.gamma) < 1e-6) return (x - d.least) / (d.most - d.least);
    return std::expm1(d.gamma * (x - d.least)) / std::expm1(d.gamma * (d.most - d.least));
}

double clearness_at(ClearnessDistribution const& d, double share) {
    double const width = d.most - d.least;
    if (std::abs(d.gamma) < 1e-6) return d.least + share * width;
    return d.least + std::log1p(share * std::expm1(d.gamma * width)) / d.gamma;
}

double mean(ClearnessDistribution const& d) {
    double const width = d.most - d.least;
    if (std::abs(d.gamma) < 1e-6) return d.least + 0.5 * width;
    // Integral of Kt dF; with w the width: Kmin + w/(1 - exp(-gam w)) - 1/gam.
    return d.least + width / -std::expm1(-d.gamma * width) - 1 / d.gamma;
}

double variance(ClearnessDistribution const& d) {
    double const width = d.most - d.least;
    if (std::abs(d.gamma * width) < 1e-3) return width * width / 12;
    // Of an exponential density between two ends; 2 sinh = e^(gam w/2) - e^(-gam w/2).
    double const ends = 2 * std::sinh(0.5 * d.gamma * width);
    return 1 / (d.gamma * d.gamma) - width * width / (ends * ends);
}

std::vector<double> deviates_in_months(std::vector<double> const& daily) {
    std::vector<double> chi(daily.size());
    std::vector<std::size_t> order;
    for (std::size_t month = 0; month < 12; ++month) {
        auto const first = static_cast<std::size_t>(month_start_hour[month] / 24);
        auto const end = std::min(daily.size(), static_cast<std::size_t>(month_start_hour[month + 1] / 24));
        order.clear();
        for (std::size_t day = first; day < end; ++day) order.push_back(day);
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return daily[a] < daily[b]; });
        for (std::size_t rank = 0; rank < order.size(); ++rank)
            chi[order[rank]] =
                normal_quantile((static_cast<double>(rank) + 0.5) / static_cast<double>(order.size()));
    }
    return chi;
}

double day_to_day_of(std::vector<double> const& daily) {
    auto const chi = deviates_in_months(daily);
    double product = 0, square = 0;
    for (std::size_t day = 0; day < chi.size(); ++day) {
        if (day > 0) product += chi[day] * chi[day - 1];
        square += chi[day] * chi[day];
    }
    if (square <= 0) return 0;
    double const found = product / square, days = 365.0 / 12;
    return (found + 1 / days) / (1 - 3 / days);
}

}  // namespace holdwater::weather
