#include "weather/made_temperature.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

namespace {

/// From 05:00 up to 15:00 and down again, -1 .. 1.
std::array<double, 24> day_wave() {
    std::array<double, 24> wave{};
    for (std::size_t h = 0; h < 24; ++h) {
        double const t = static_cast<double>(h) + 0.5;
        wave[h] = t < 5    ? std::cos(std::numbers::pi * (t + 9) / 14)
                  : t < 15 ? -std::cos(std::numbers::pi * (t - 5) / 10)
                           : std::cos(std::numbers::pi * (t - 15) / 14);
    }
    return wave;
}

/// Where the middle of an hour lies between the middles of two months: at `from` for a share of 0, at `to`
/// for 1.
struct BetweenMonths {
    std::size_t from = 0, to = 0;
    double share = 0;
};

BetweenMonths between_months(std::size_t hour) {
    auto const middle = [](std::size_t m) { return 0.5 * (month_start_hour[m] + month_start_hour[m + 1]); };
    auto const month = static_cast<std::size_t>(month_of_day[hour / 24]);
    double const at = static_cast<double>(hour) + 0.5;
    std::size_t const from = at >= middle(month) ? month : (month + 11) % 12, to = (from + 1) % 12;
    double x0 = middle(from), x1 = middle(to);
    if (x0 > at) x0 -= hours_per_year;
    if (x1 < at) x1 += hours_per_year;
    return {from, to, (at - x0) / (x1 - x0)};
}

}  // namespace

std::array<MonthTemperature, 12> usual_temperatures(std::array<double, 12> const& mean_c, double range_k,
                                                    double latitude_deg) {
    std::array<MonthTemperature, 12> months;
    for (std::size_t m = 0; m < 12; ++m) {
        // 1 in January, -1 in July; reversed south of the equator.
        double const winter =
            (latitude_deg < 0 ? -1 : 1) * std::cos(2 * std::numbers::pi * static_cast<double>(m) / 12);
        months[m] = {mean_c[m], range_k, -0.3 - winter, 0.25 * range_k, 3};
    }
    return months;
}

std::vector<double> through_the_months(std::array<double, 12> const& monthly) {
    // The mean of each month as shares of the values at the middles of all months.
    std::array<std::array<double, 12>, 12> mean_shares{};
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const month = static_cast<std::size_t>(month_of_day[i / 24]);
        auto const b = between_months(i);
        double const hours = month_start_hour[month + 1] - month_start_hour[month];
        mean_shares[month][b.from] += (1 - b.share) / hours;
        mean_shares[month][b.to] += b.share / hours;
    }
    // The values whose months have the means that are wanted. A month counts half or more in its own mean, so
    // a pass leaves at most 0.6 of the error.
    std::array<double, 12> knot = monthly;
    for (int pass = 0; pass < 60; ++pass) {
        auto const before = knot;
        for (std::size_t m = 0; m < 12; ++m)
            knot[m] += 0.8 * (monthly[m] -
                              std::inner_product(before.begin(), before.end(), mean_shares[m].begin(), 0.0));
    }
    std::vector<double> out(hours_per_year);
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const b = between_months(i);
        out[i] = knot[b.from] + (knot[b.to] - knot[b.from]) * b.share;
    }
    return out;
}

std::vector<double> make_temperature(std::array<MonthTemperature, 12> const& months,
                                     std::vector<double> const& season_c, DayDeviates const& days,
                                     bool keep_means) {
    static std::array<double, 24> const wave = day_wave();
    std::vector<double> temperature_c = season_c;
    double half_range_before_k = 0.5 * months[0].range_k;
    std::size_t day = 0;
    for (std::size_t m = 0; m < 12; ++m) {
        MonthTemperature const& month = months[m];
        auto const first = static_cast<std::size_t>(month_start_hour[m]),
                   end = static_cast<std::size_t>(month_start_hour[m + 1]);
        double moved_k = 0;
        for (; 24 * day < end; ++day) {
            double const chi = days.clearness[day];
            double const mean_k = month.mean_by_light_k * chi + month.wander_k * days.temperature[day];
            double const half_range_k = 0.5 * std::clamp(month.range_k + month.range_by_light_k * chi,
                                                         0.35 * month.range_k, 1.5 * month.range_k);
            double* const hour = &temperature_c[24 * day];
            // A night has the range of the day before it.
            for (std::size_t h = 0; h < 24; ++h) {
                double const by_k = mean_k + (h < 5 ? half_range_before_k : half_range_k) * wave[h];
                hour[h] += by_k;
                moved_k += by_k;
            }
            half_range_before_k = half_range_k;
        }
        if (!keep_means) continue;
        moved_k /= static_cast<double>(end - first);
        for (std::size_t i = first; i < end; ++i) temperature_c[i] -= moved_k;
    }
    return temperature_c;
}

}  // namespace holdwater::weather
