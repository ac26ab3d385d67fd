#include "weather/fit_days.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/expects.hpp"
#include "weather/daily_clearness.hpp"
#include "weather/random.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

namespace {

constexpr double largest_memory = 0.85;
constexpr double least_mean = 0.02;
// The clearest day of a few months is not the clearest that can occur.
constexpr double above_clearest = 0.02;

struct Month {
    double mean = 0, variance = 0;
    std::vector<double> days;
};

std::array<Month, 12> months_of(std::vector<std::vector<double>> const& years) {
    std::array<Month, 12> months;
    for (std::size_t m = 0; m < 12; ++m) {
        Month& month = months[m];
        for (auto const& year : years)
            for (int day = month_start_hour[m] / 24; day < month_start_hour[m + 1] / 24; ++day)
                month.days.push_back(year[static_cast<std::size_t>(day)]);
        auto const n = static_cast<double>(month.days.size());
        for (double k : month.days) month.mean += k / n;
        for (double k : month.days) month.variance += (k - month.mean) * (k - month.mean) / (n - 1);
    }
    return months;
}

std::array<std::size_t, 3> with_neighbors(std::size_t m) { return {(m + 11) % 12, m, (m + 1) % 12}; }

// Range of the means for which the published distribution is defined.
double published_variance(double mean) {
    return variance(clearness_distribution(std::clamp(mean, 0.15, 0.78)));
}

double smoothed_mean(std::array<Month, 12> const& months, std::size_t m) {
    constexpr double weight[5] = {-3, 12, 17, 12, -3};
    double sum = 0;
    for (std::size_t k = 0; k < 5; ++k) sum += weight[k] / 35 * months[(m + 10 + k) % 12].mean;
    return sum;
}

DayTable month_table(std::vector<double> const& days, double mean, double variance, double own_share,
                     TypicalRule const& rule) {
    double const clearest = *std::max_element(days.begin(), days.end()) + above_clearest;
    double const darkest = std::min(rule.darkest, 0.5 * mean);
    auto const smooth =
        table_of(BetaDays{mean, std::max(variance, 1e-4), darkest, clearest, rule.dark_days_share});
    return blend(smooth, with_mean(table_of(days, darkest), mean), own_share);
}

/// Variance of the mean of `n` values with variance 1 whose correlation falls by the factor `memory` with
/// each step.
double variance_of_mean(double memory, int n) {
    double sum = n, correlation = 1;
    for (int apart = 1; apart < n; ++apart) {
        correlation *= memory;
        sum += 2 * (n - apart) * correlation;
    }
    return sum / n / n;
}

/// Standard normal deviates of all years' days by their rank among the days of their month in all years.
std::vector<std::vector<double>> deviates_of(std::vector<std::vector<double>> const& years) {
    auto out = years;
    for (std::size_t m = 0; m < 12; ++m) {
        std::vector<double*> order;
        for (auto& year : out)
            for (int day = month_start_hour[m] / 24; day < month_start_hour[m + 1] / 24; ++day)
                order.push_back(&year[static_cast<std::size_t>(day)]);
        std::stable_sort(order.begin(), order.end(),
                         [](double const* a, double const* b) { return *a < *b; });
        for (std::size_t rank = 0; rank < order.size(); ++rank)
            *order[rank] =
                normal_quantile((static_cast<double>(rank) + 0.5) / static_cast<double>(order.size()));
    }
    return out;
}

}  // namespace

DayFit fit_typical_year(std::vector<double> const& daily_clearness, TypicalRule const& rule) {
    auto const months = months_of({daily_clearness});
    DayFit fit;
    double year_mean = 0;
    for (std::size_t m = 0; m < 12; ++m) {
        double const smooth = rule.smoothing * (smoothed_mean(months, m) - months[m].mean);
        fit.clearness[m] = std::max(least_mean, months[m].mean + std::max(smooth, -0.5 * months[m].mean));
        year_mean += fit.clearness[m] / 12;
    }
    double const memory = rule.memory_base + rule.memory_slope * day_to_day_of(daily_clearness);
    double spread = 0;
    for (Month const& month : months) spread += month.variance / published_variance(month.mean) / 12;
    spread *= rule.spread_factor * rule.spread_factor;
    for (std::size_t m = 0; m < 12; ++m) {
        std::vector<double> days;
        for (std::size_t of : with_neighbors(m))
            days.insert(days.end(), months[of].days.begin(), months[of].days.end());
        fit.days[m] = month_table(days, fit.clearness[m], spread * published_variance(fit.clearness[m]),
                                  rule.own_shape, rule);
        fit.chain.day_to_day[m] = std::clamp(
            memory + rule.memory_by_clearness * (fit.clearness[m] - year_mean), 0.0, largest_memory);
    }
    fit.chain.slow_share = rule.slow_share;
    fit.chain.slow_days = rule.slow_days;
    return fit;
}

DayFit fit_recorded_years(std::vector<std::vector<double>> const& daily_clearness, TypicalRule const& rule) {
    HOLDWATER_EXPECTS(!daily_clearness.empty());
    auto const months = months_of(daily_clearness);
    auto const deviates = deviates_of(daily_clearness);
    auto const years = static_cast<double>(daily_clearness.size());
    DayFit fit;
    // The days of one month of one or two years are too few, so its neighboring months are used too, as in a
    // typical year.
    bool const few = daily_clearness.size() < 3;
    std::array<double, 12> lag{}, pairs{};
    for (auto const& year : deviates)
        for (std::size_t day = 1; day < 365; ++day) {
            lag[month_of_day[day]] += year[day] * year[day - 1];
            pairs[month_of_day[day]] += 1;
        }
    double spread = 0;
    std::array<double, 12> lag_1{};
    for (std::size_t m = 0; m < 12; ++m) {
        fit.clearness[m] = std::max(least_mean, months[m].mean);
        std::vector<double> days = months[m].days;
        double variance = months[m].variance, lag_sum = 0, pair_sum = 0;
        for (std::size_t of : with_neighbors(m)) {
            lag_sum += lag[of];
            pair_sum += pairs[of];
            if (of == m || !few) continue;
            days.insert(days.end(), months[of].days.begin(), months[of].days.end());
            variance += (months[of].variance - months[m].variance) / 3;
        }
        fit.days[m] = month_table(days, fit.clearness[m], variance, years / (years + 1), rule);
        lag_1[m] = lag_sum / pair_sum;
        int const first = month_start_hour[m] / 24, end = month_start_hour[m + 1] / 24;
        for (auto const& year : deviates) {
            double mean = 0;
            for (int day = first; day < end; ++day)
                mean += year[static_cast<std::size_t>(day)] / (end - first);
            spread += mean * mean / (12 * years);
        }
    }
    double const q = std::exp(-1 / rule.slow_days);
    // The slow part also adds to the lag-1 correlation.
    auto const fast_memory = [&](std::size_t m, double slow_share) {
        return std::clamp((lag_1[m] - slow_share * q) / (1 - slow_share), 0.0, largest_memory);
    };
    auto const spread_with = [&](double slow_share) {
        double sum = 0;
        for (std::size_t m = 0; m < 12; ++m) {
            int const n = (month_start_hour[m + 1] - month_start_hour[m]) / 24;
            sum += (1 - slow_share) * variance_of_mean(fast_memory(m, slow_share), n) +
                   slow_share * variance_of_mean(q, n);
        }
        return sum / 12;
    };
    double low = 0, high = 0.3;
    for (int step = 0; step < 30; ++step) {
        double const middle = 0.5 * (low + high);
        (spread_with(middle) < spread ? low : high) = middle;
    }
    constexpr double rule_years = 10;
    // A single year says nothing about the differences between years; the ranks within the year have none.
    double const known = daily_clearness.size() > 1 ? years : 0;
    fit.chain.slow_share = (known * low + rule_years * rule.slow_share) / (known + rule_years);
    fit.chain.slow_days = rule.slow_days;
    for (std::size_t m = 0; m < 12; ++m) fit.chain.day_to_day[m] = fast_memory(m, fit.chain.slow_share);
    return fit;
}

}  // namespace holdwater::weather
