#include "weather/fit_maker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>
#include <stdexcept>

#include "weather/clear_sky.hpp"
#include "weather/fit_days.hpp"
#include "weather/fit_temperature.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_error.hpp"

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

std::vector<double> clearness_of(WeatherYear const& year, SunYear const& sun) {
    std::vector<double> clearness(days_of_year);
    for (std::size_t day = 0; day < days_of_year; ++day) {
        double const outside = day_sum(sun.extraterrestrial_horizontal_w_m2, day);
        clearness[day] = outside > 0 ? day_sum(year.ghi_w_m2, day) / outside : 0;
    }
    return clearness;
}

DailyTemperature temperature_of(WeatherYear const& year, std::vector<double> const& clearness) {
    DailyTemperature daily;
    daily.light = deviates_in_months(clearness);
    for (std::size_t day = 0; day < days_of_year; ++day) {
        auto const first = year.temperature_c.begin() + static_cast<std::ptrdiff_t>(24 * day);
        auto const [least, most] = std::minmax_element(first, first + 24);
        daily.range_k.push_back(*most - *least);
        daily.mean_c.push_back(day_sum(year.temperature_c, day) / 24);
    }
    return daily;
}

double mean_of_month(std::vector<std::vector<double>> const& years, std::size_t m) {
    double sum = 0, days = 0;
    for (auto const& year : years)
        for (int day = month_start_hour[m] / 24; day < month_start_hour[m + 1] / 24; ++day)
            sum += year[static_cast<std::size_t>(day)], ++days;
    return sum / days;
}

void require_site(WeatherYear const& year) {
    if (std::abs(year.site.latitude_deg) > highest_made_latitude_deg)
        throw WeatherError(
            year.path, 0,
            fmt::format("latitude {:.1f} deg: no years can be made from a file above {:.0f} degrees "
                        "north or south, because its winter months have hardly any light; accepted: "
                        "-{:.0f} to {:.0f}, or a run of the file alone, without made years "
                        "(made_years = 0 in [weather], or --years 0)",
                        year.site.latitude_deg, highest_made_latitude_deg, highest_made_latitude_deg,
                        highest_made_latitude_deg));
    MakeOptions at_place;
    at_place.site = year.site;
    at_place.clearness.fill(0.5);
    validate(at_place);
}

MakerFit fit(std::span<WeatherYear const> years, bool typical, std::uint64_t seed) {
    if (years.empty()) throw std::invalid_argument("no year to make others from");
    WeatherYear const& first = years.front();
    require_site(first);
    MakerFit fit;
    MakeOptions& o = fit.options;
    o.place = first.station;
    o.site = first.site;
    o.seed = seed;
    o.keep_monthly_means = false;
    SunYear const& sun = fit.sun = sun_over_year(first.site);
    std::vector<std::vector<double>> clearness;
    std::vector<DailyTemperature> temperature;
    double wind_m_s = 0;
    for (WeatherYear const& year : years) {
        clearness.push_back(clearness_of(year, sun));
        temperature.push_back(temperature_of(year, clearness.back()));
        wind_m_s += std::accumulate(year.wind_m_s.begin(), year.wind_m_s.end(), 0.0) /
                    static_cast<double>(year.wind_m_s.size() * years.size());
    }
    DayFit const days = typical ? fit_typical_year(clearness.front()) : fit_recorded_years(clearness);
    auto const warmth = fit_temperature(temperature);
    o.days = DaysOfPlace{days.days, days.chain, warmth.months};
    o.days->chain.temperature_memory = warmth.memory;
    double range_k = 0;
    for (std::size_t m = 0; m < 12; ++m) {
        double const own = mean_of_month(clearness, m);
        if (held(own, 0.2, 0.75, fmt::format("clearness of month {},", m + 1), fit.notes) == own)
            o.clearness[m] = std::clamp(days.clearness[m], 0.2, 0.75);
        else
            o.clearness[m] = std::clamp(own, 0.2, 0.75);
        o.temperature_c[m] = warmth.months[m].mean_c;
        range_k += warmth.months[m].range_k / 12;
    }
    o.day_to_day = std::accumulate(days.chain.day_to_day.begin(), days.chain.day_to_day.end(), 0.0) / 12;
    o.slow_share = days.chain.slow_share;
    o.daily_range_k = range_k;
    o.wind_mean_m_s = std::clamp(wind_m_s, 0.0, 20.0);
    auto const clear = clear_sky_ghi_w_m2(sun, o.linke_turbidity);
    for (WeatherYear const& year : years)
        for (std::size_t day = 0; day < days_of_year; ++day)
            if (day_sum(year.ghi_w_m2, day) > 1.02 * day_sum(clear, day)) o.linke_turbidity = 1.5;
    validate(o);
    return fit;
}

}  // namespace

MakerFit fit_maker(WeatherYear const& typical_year, std::uint64_t seed) {
    return fit(std::span(&typical_year, 1), true, seed);
}

MakerFit fit_maker(std::vector<WeatherYear> const& recorded_years, std::uint64_t seed) {
    return fit(recorded_years, false, seed);
}

}  // namespace holdwater::weather
