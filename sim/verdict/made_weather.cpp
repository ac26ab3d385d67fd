#include "sim/verdict/made_weather.hpp"

#include <algorithm>
#include <cstddef>
#include <vector>

#include "models/numeric/random_stream.hpp"
#include "weather/fit_maker.hpp"

namespace holdwater::sim {
namespace {

// With fewer years, their spread cannot be determined (common practice, no source).
constexpr std::size_t least_recorded_years_to_fit = 5;

weather::MakerFit fit_of(weather::WeatherYear const& own_year, DrawOptions const& o) {
    auto const seed = models::stream_seed(o.seed, made_weather_stream, 0);
    if (!fitted_to_recorded(o)) return weather::fit_maker(own_year, seed);
    std::vector<weather::WeatherYear> recorded;
    for (auto const& chain : o.recorded.front().chains)
        recorded.insert(recorded.end(), chain.begin(), chain.end());
    return weather::fit_maker(recorded, seed);
}

}  // namespace

bool fitted_to_recorded(DrawOptions const& o) {
    if (o.recorded.empty()) return false;
    std::size_t years = 0;
    for (auto const& chain : o.recorded.front().chains) years += chain.size();
    return years >= least_recorded_years_to_fit;
}

weather::WeatherYear joined(weather::WeatherYear const& from_hour_on, weather::WeatherYear const& before,
                            int hour) {
    auto year = from_hour_on;
    auto const take = [hour](auto& to, auto const& from) {
        if (!to.empty() && to.size() == from.size()) std::copy(from.begin(), from.begin() + hour, to.begin());
    };
    take(year.ghi_w_m2, before.ghi_w_m2);
    take(year.dni_w_m2, before.dni_w_m2);
    take(year.dhi_w_m2, before.dhi_w_m2);
    take(year.temperature_c, before.temperature_c);
    take(year.wind_m_s, before.wind_m_s);
    take(year.albedo, before.albedo);
    take(year.file_year, before.file_year);
    return year;
}

MadeWeather::MadeWeather(weather::WeatherYear const& own_year, DrawOptions const& options)
    : MadeWeather(fit_of(own_year, options), own_year) {}

MadeWeather::MadeWeather(weather::MakerFit fit, weather::WeatherYear const& own_year)
    : maker_(fit.options), albedo_(own_year.albedo), notes_(std::move(fit.notes)) {}

weather::WeatherYear MadeWeather::calendar_year(int index) const {
    auto year = maker_.year(index);
    year.albedo = albedo_;
    return year;
}

weather::WeatherYear MadeWeather::year(int number, int first_hour) const {
    return joined(calendar_year(number), calendar_year(number + 1), first_hour);
}

}  // namespace holdwater::sim
