#include "sim/verdict/made_weather.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

#include "models/numeric/random_stream.hpp"
#include "sim/base/job_pool.hpp"
#include "weather/fit_maker.hpp"

namespace holdwater::sim {
namespace {

// With fewer years, their spread cannot be determined (common practice, no source).
constexpr std::size_t least_recorded_years_to_fit = 5;

std::vector<weather::WeatherYear> recorded_years(DrawOptions const& o) {
    std::vector<weather::WeatherYear> recorded;
    for (auto const& chain : o.recorded.front().chains)
        recorded.insert(recorded.end(), chain.begin(), chain.end());
    return recorded;
}

weather::MakerFit fit_of(weather::WeatherYear const& own_year, DrawOptions const& o) {
    auto const seed = models::stream_seed(o.seed, made_weather_stream, 0);
    return fitted_to_recorded(o) ? weather::fit_maker(recorded_years(o), seed)
                                 : weather::fit_maker(own_year, seed);
}

// Everything of a year that a maker is fitted to, and that is copied into its years.
auto content(weather::WeatherYear const& y) {
    return std::tie(y.site, y.ghi_w_m2, y.dni_w_m2, y.dhi_w_m2, y.temperature_c, y.wind_m_s, y.albedo,
                    y.file_year, y.station, y.format, y.path, y.note);
}

}  // namespace

bool fitted_to_recorded(DrawOptions const& o) {
    if (o.recorded.empty()) return false;
    std::size_t years = 0;
    for (auto const& chain : o.recorded.front().chains) years += chain.size();
    return years >= least_recorded_years_to_fit;
}

weather::WeatherYear joined(weather::WeatherYear year, weather::WeatherYear const& before, int hour) {
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
    : maker_(fit.options, std::move(fit.sun)), albedo_(own_year.albedo), notes_(std::move(fit.notes)) {}

weather::WeatherYear MadeWeather::calendar_year(int index) const {
    auto year = maker_.year(index);
    year.albedo = albedo_;
    return year;
}

weather::WeatherYear MadeWeather::year(int number, int first_hour) const {
    return joined(calendar_year(number), calendar_year(number + 1), first_hour);
}

bool MadeShelf::Fitted::operator==(Fitted const& other) const {
    return seed == other.seed &&
           std::equal(to.begin(), to.end(), other.to.begin(), other.to.end(),
                      [](auto const& a, auto const& b) { return content(a) == content(b); });
}

MadeShelf::Made MadeShelf::maker(weather::WeatherYear const& own_year, DrawOptions const& o) {
    Fitted fitted{{own_year}, o.seed};
    if (fitted_to_recorded(o)) {
        auto recorded = recorded_years(o);
        std::move(recorded.begin(), recorded.end(), std::back_inserter(fitted.to));
    }
    return makers_.of(std::move(fitted), [&] { return MadeWeather(own_year, o); });
}

std::vector<MadeShelf::Year> MadeShelf::years(Made const& made, int first, std::size_t count,
                                              int first_hour) {
    auto const key = [&](std::size_t i) { return std::tuple(made, first + static_cast<int>(i), first_hour); };
    std::vector<Year> years(count);
    {
        std::scoped_lock const lock(mutex_);
        for (std::size_t i = 0; i < count; ++i)
            if (auto const kept = years_.find(key(i)); kept != years_.end()) years[i] = kept->second;
    }
    auto const missing = static_cast<std::size_t>(std::count(years.begin(), years.end(), nullptr));
    // A year that is missing needs its own calendar year and the next one.
    std::vector<std::optional<weather::WeatherYear>> calendar(count + 1);
    for_each_job(count + 1, [&](std::size_t i) {
        bool const needed = (i < count && !years[i]) || (i > 0 && !years[i - 1]);
        if (needed) calendar[i] = made->calendar_year(first + static_cast<int>(i));
    });
    std::scoped_lock const lock(mutex_);
    if (years_.size() + missing > most_years) years_.clear();
    for (std::size_t i = 0; i < count; ++i) {
        if (!years[i])  // the year before has taken from calendar[i] what it needs
            years[i] = std::make_shared<weather::WeatherYear const>(
                joined(std::move(*calendar[i]), *calendar[i + 1], first_hour));
        if (count <= most_years) years_.emplace(key(i), years[i]);
    }
    return years;
}

}  // namespace holdwater::sim
