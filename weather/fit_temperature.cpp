#include "weather/fit_temperature.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/expects.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

namespace {

/// Sums of a straight line y = level + slope x.
struct Line {
    double n = 0, x = 0, y = 0, xx = 0, xy = 0;
    void add(double at, double value) { n += 1, x += at, y += value, xx += at * at, xy += at * value; }
    [[nodiscard]] double slope() const {
        double const spread = n * xx - x * x;
        return spread > 0 ? (n * xy - x * y) / spread : 0;
    }
    [[nodiscard]] double level() const { return n > 0 ? (y - slope() * x) / n : 0; }
};

}  // namespace

TemperatureFit fit_temperature(std::vector<DailyTemperature> const& years) {
    HOLDWATER_EXPECTS(!years.empty());
    TemperatureFit fit;
    std::array<double, 12> mean_c{}, days{};
    for (auto const& year : years)
        for (std::size_t day = 0; day < 365; ++day) {
            mean_c[month_of_day[day]] += year.mean_c[day];
            days[month_of_day[day]] += 1;
        }
    for (std::size_t m = 0; m < 12; ++m) mean_c[m] /= days[m];
    auto const season_c = through_the_months(mean_c);
    auto const season_of = [&](std::size_t day) {
        double sum = 0;
        for (std::size_t h = 24 * day; h < 24 * day + 24; ++h) sum += season_c[h] / 24;
        return sum;
    };
    std::vector<double> season_of_day(365);
    for (std::size_t day = 0; day < 365; ++day) season_of_day[day] = season_of(day);

    std::array<Line, 12> mean_of_month, range_of_month;
    for (auto const& year : years)
        for (std::size_t day = 0; day < 365; ++day)
            for (std::size_t shift : {11U, 0U, 1U}) {
                std::size_t const m = (month_of_day[day] + shift) % 12;
                mean_of_month[m].add(year.light[day], year.mean_c[day] - season_of_day[day]);
                range_of_month[m].add(year.light[day], year.range_k[day]);
            }
    for (std::size_t m = 0; m < 12; ++m)
        fit.months[m] = {mean_c[m], std::clamp(range_of_month[m].level(), 0.0, 30.0),
                         std::clamp(mean_of_month[m].slope(), -10.0, 10.0),
                         std::clamp(range_of_month[m].slope(), -10.0, 10.0), 0};

    std::array<double, 12> square{}, count{};
    double product = 0, square_sum = 0;
    for (auto const& year : years) {
        double before = 0;
        for (std::size_t day = 0; day < 365; ++day) {
            std::size_t const own = month_of_day[day];
            double const left =
                year.mean_c[day] - season_of_day[day] - fit.months[own].mean_by_light_k * year.light[day];
            for (std::size_t shift : {11U, 0U, 1U}) {
                square[(own + shift) % 12] += left * left;
                count[(own + shift) % 12] += 1;
            }
            product += left * before;
            square_sum += left * left;
            before = left;
        }
    }
    for (std::size_t m = 0; m < 12; ++m)
        fit.months[m].wander_k = std::min(15.0, std::sqrt(square[m] / count[m]));
    double memory = square_sum > 0 ? product / square_sum : 0;
    constexpr double month_days = 365.0 / 12;
    if (years.size() == 1) memory = (memory + 1 / month_days) / (1 - 3 / month_days);
    fit.memory = std::clamp(memory, 0.0, 0.95);
    return fit;
}

}  // namespace holdwater::weather
