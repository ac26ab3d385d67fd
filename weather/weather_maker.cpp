#include "weather/weather_maker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

#include "models/numeric/random_stream.hpp"
#include "weather/made_light.hpp"
#include "weather/random.hpp"

namespace holdwater::weather {

namespace {

enum Stream : std::uint64_t { hour_stream = 2, wind_stream };  // 1: weather/day_chain.cpp
constexpr double wind_memory = 0.9;
constexpr double usual_slow_days = 25;

/// Wind divided by its mean, by standard normal deviate: Rayleigh distribution.
DayTable rayleigh_table() {
    DayTable table;
    for (std::size_t i = 0; i < DayTable::points; ++i)
        table.clearness[i] =
            2 / std::sqrt(std::numbers::pi) * std::sqrt(-std::log(normal_share_below(-deviate_of(i))));
    return table;
}

std::size_t month_first_day(std::size_t m) { return static_cast<std::size_t>(month_start_hour[m] / 24); }

/// Mean of a month under a clear sky.
double clear_mean(LightOfPlace const& light, std::size_t m) {
    double sum = 0;
    for (std::size_t day = month_first_day(m); day < month_first_day(m + 1); ++day) sum += light.clear[day];
    return sum / static_cast<double>(month_first_day(m + 1) - month_first_day(m));
}

}  // namespace

struct WeatherMaker::Place {
    MakeOptions options;
    LightOfPlace light;
    DaysOfPlace days;
    std::vector<double> season_c;
    DayTable wind = rayleigh_table();

    Place(MakeOptions const& o, SunYear sun)
        : options(o), light(light_of_place(o.site, o.linke_turbidity, std::move(sun))) {
        if (o.days) {
            days = *o.days;
        } else {
            days.chain.day_to_day.fill(o.day_to_day);
            days.chain.slow_share = o.slow_share;
            days.chain.slow_days = usual_slow_days;
            for (std::size_t m = 0; m < 12; ++m)
                days.clearness[m] = table_of(clearness_distribution(o.clearness[m]));
            days.temperature = usual_temperatures(o.temperature_c, o.daily_range_k, o.site.latitude_deg);
        }
        std::array<double, 12> means_c{};
        for (std::size_t m = 0; m < 12; ++m) {
            days.clearness[m] = with_mean(days.clearness[m], o.clearness[m], clear_mean(light, m));
            means_c[m] = days.temperature[m].mean_c;
        }
        season_c = through_the_months(means_c);
    }

    [[nodiscard]] double clearness_of(std::size_t day, double deviate) const {
        return std::min(days.clearness[month_of_day[day]].at(deviate), light.clear[day]);
    }

    /// Deviates of a month shifted so that its mean clearness is right.
    void meet_mean(std::size_t m, DayDeviates& deviates) const {
        std::size_t const first = month_first_day(m), end = month_first_day(m + 1);
        double low = -4, high = 4;
        for (int step = 0; step < 30; ++step) {
            double const middle = 0.5 * (low + high);
            double sum = 0;
            for (std::size_t day = first; day < end; ++day)
                sum += clearness_of(day, deviates.clearness[day] + middle);
            (sum / static_cast<double>(end - first) < options.clearness[m] ? low : high) = middle;
        }
        for (std::size_t day = first; day < end; ++day) deviates.clearness[day] += 0.5 * (low + high);
    }

    [[nodiscard]] WeatherYear year(int index) const;
    void make_wind(HourlyNormals& random, std::vector<double>& wind_m_s) const;
};

void WeatherMaker::Place::make_wind(HourlyNormals& random, std::vector<double>& wind_m_s) const {
    wind_m_s.resize(hours_per_year);
    double chi = random.next();
    double const chi_new = std::sqrt(1 - wind_memory * wind_memory);
    for (double& speed : wind_m_s) {
        chi = wind_memory * chi + chi_new * random.next();
        speed = options.wind_mean_m_s * wind.at(chi);
    }
}

WeatherYear WeatherMaker::Place::year(int index) const {
    if (index < 0) throw std::invalid_argument(fmt::format("index = {} (must be 0 or more)", index));
    auto deviates = day_deviates(days.chain, options.seed, index);
    if (options.keep_monthly_means)
        for (std::size_t m = 0; m < 12; ++m) meet_mean(m, deviates);
    std::array<double, 365> daily{};
    for (std::size_t day = 0; day < 365; ++day) daily[day] = clearness_of(day, deviates.clearness[day]);

    WeatherYear year;
    year.path = "made";
    year.format = "made";
    year.station = fmt::format("{} (invented place)", options.place);
    year.note = fmt::format(
        "{} is an invented place: this weather is made by a random generator, not measured.\n"
        "Seed {}, year {}. Do not use it for a real site.",
        options.place, options.seed, index);
    year.site = options.site;
    year.file_year.assign(hours_per_year, light.sun.year);
    for (auto* v : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2}) v->assign(hours_per_year, 0);
    auto const stream = [&](Stream of) {
        return HourlyNormals(models::stream_seed(options.seed, of, static_cast<std::uint64_t>(index)));
    };
    HourlyNormals hours = stream(hour_stream), winds = stream(wind_stream);
    make_light(light, daily, hours, year);
    year.temperature_c = make_temperature(days.temperature, season_c, deviates, options.keep_monthly_means);
    make_wind(winds, year.wind_m_s);
    weather::validate(year);
    return year;
}

void validate(MakeOptions const& o) {
    auto const require = [](bool holds, std::string_view field, double value, char const* rule) {
        if (!holds) throw std::invalid_argument(fmt::format("{} = {} ({})", field, value, rule));
    };
    require(std::abs(o.site.latitude_deg) <= highest_made_latitude_deg, "latitude_deg", o.site.latitude_deg,
            "must be -66 .. 66 for made weather");
    require(std::abs(o.site.longitude_deg) <= 180, "longitude_deg", o.site.longitude_deg,
            "must be -180 .. 180");
    require(o.site.elevation_m >= -450 && o.site.elevation_m <= 6000, "elevation_m", o.site.elevation_m,
            "must be -450 .. 6000");
    require(o.site.utc_offset_h >= -12 && o.site.utc_offset_h <= 14, "utc_offset_h", o.site.utc_offset_h,
            "must be -12 .. 14");
    for (std::size_t m = 0; m < 12; ++m) {
        require(o.clearness[m] >= 0.2 && o.clearness[m] <= 0.75, fmt::format("clearness[{}]", m + 1),
                o.clearness[m], "must be 0.2 .. 0.75");
        require(std::abs(o.temperature_c[m]) <= 50, fmt::format("temperature_c[{}]", m + 1),
                o.temperature_c[m], "must be -50 .. 50");
    }
    require(o.daily_range_k >= 0 && o.daily_range_k <= 30, "daily_range_k", o.daily_range_k,
            "must be 0 .. 30");
    require(o.day_to_day >= 0 && o.day_to_day <= 0.9, "day_to_day", o.day_to_day, "must be 0 .. 0.9");
    require(o.slow_share >= 0 && o.slow_share <= 0.5, "slow_share", o.slow_share, "must be 0 .. 0.5");
    require(o.wind_mean_m_s >= 0 && o.wind_mean_m_s <= 20, "wind_mean_m_s", o.wind_mean_m_s,
            "must be 0 .. 20");
    require(o.linke_turbidity >= 1.5 && o.linke_turbidity <= 8, "linke_turbidity", o.linke_turbidity,
            "must be 1.5 .. 8");
    if (!o.days) return;
    for (double const phi : o.days->chain.day_to_day)
        require(phi >= 0 && phi <= 0.9, "days.chain.day_to_day", phi, "must be 0 .. 0.9");
    require(o.days->chain.slow_share >= 0 && o.days->chain.slow_share <= 0.5, "days.chain.slow_share",
            o.days->chain.slow_share, "must be 0 .. 0.5");
    require(o.days->chain.slow_days >= 1 && o.days->chain.slow_days <= 60, "days.chain.slow_days",
            o.days->chain.slow_days, "must be 1 .. 60");
}

WeatherMaker::WeatherMaker(MakeOptions const& options) {
    validate(options);
    place_ = std::make_unique<Place const>(options, sun_over_year(options.site));
}
WeatherMaker::WeatherMaker(MakeOptions const& options, SunYear sun) {
    validate(options);
    place_ = std::make_unique<Place const>(options, std::move(sun));
}
WeatherMaker::~WeatherMaker() = default;
WeatherMaker::WeatherMaker(WeatherMaker&&) noexcept = default;
WeatherMaker& WeatherMaker::operator=(WeatherMaker&&) noexcept = default;

WeatherYear WeatherMaker::year(int index) const { return place_->year(index); }

WeatherYear make_weather(MakeOptions const& options) { return make_weather(options, 0); }

WeatherYear make_weather(MakeOptions const& options, int index) { return WeatherMaker(options).year(index); }

}  // namespace holdwater::weather
