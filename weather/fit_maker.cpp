#include "weather/fit_maker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "weather/clear_sky.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::weather {
namespace {

constexpr std::size_t days_of_year = 365;

double day_sum(std::vector<double> const& hourly, std::size_t day) {
    auto const first = hourly.begin() + static_cast<std::ptrdiff_t>(24 * day);
    return std::accumulate(first, first + 24, 0.0);
}

double held(double value, double low, double high, std::string const& what, std::vector<std::string>& notes) {
    double const in = std::clamp(value, low, high);
    if (in != value)
        notes.push_back(
            fmt::format("{} {:.2f} is taken as {:.2f}, the nearest that can be made", what, value, in));
    return in;
}

}  // namespace

MakerFit fit_maker(WeatherYear const& year, std::uint64_t seed) {
    MakerFit fit;
    MakeOptions& o = fit.options;
    o.place = year.station;
    o.site = year.site;
    o.seed = seed;
    o.keep_monthly_means = false;
    SunYear const sun = sun_over_year(year.site);
    std::vector<double> clearness(days_of_year);
    double range_sum_k = 0;
    for (std::size_t day = 0; day < days_of_year; ++day) {
        double const outside = day_sum(sun.extraterrestrial_horizontal_w_m2, day);
        clearness[day] = outside > 0 ? day_sum(year.ghi_w_m2, day) / outside : 0;
        auto const first = year.temperature_c.begin() + static_cast<std::ptrdiff_t>(24 * day);
        auto const [least, most] = std::minmax_element(first, first + 24);
        range_sum_k += *most - *least;
    }
    for (std::size_t m = 0; m < 12; ++m) {
        auto const first = static_cast<std::size_t>(month_start_hour[m]),
                   end = static_cast<std::size_t>(month_start_hour[m + 1]);
        auto const mean = [](std::vector<double> const& v, std::size_t from, std::size_t to) {
            return std::accumulate(v.begin() + static_cast<std::ptrdiff_t>(from),
                                   v.begin() + static_cast<std::ptrdiff_t>(to), 0.0) /
                   static_cast<double>(to - from);
        };
        o.clearness[m] = held(mean(clearness, first / 24, end / 24), 0.2, 0.75,
                              fmt::format("clearness of month {},", m + 1), fit.notes);
        o.temperature_c[m] = mean(year.temperature_c, first, end);
    }
    o.day_to_day = std::clamp(day_to_day_of(clearness), 0.0, 0.9);
    o.daily_range_k = std::clamp(range_sum_k / static_cast<double>(days_of_year), 0.0, 30.0);
    o.wind_mean_m_s = std::clamp(std::accumulate(year.wind_m_s.begin(), year.wind_m_s.end(), 0.0) /
                                     static_cast<double>(year.wind_m_s.size()),
                                 0.0, 20.0);
    auto const clear = clear_sky_ghi_w_m2(sun, o.linke_turbidity);
    for (std::size_t day = 0; day < days_of_year; ++day)
        if (day_sum(year.ghi_w_m2, day) > 1.02 * day_sum(clear, day)) o.linke_turbidity = 1.5;
    validate(o);
    return fit;
}

}  // namespace holdwater::weather
