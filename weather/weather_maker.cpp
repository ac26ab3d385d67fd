#include "weather/weather_maker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "weather/atmosphere.hpp"
#include "weather/clear_sky.hpp"
#include "weather/decomposition.hpp"
#include "weather/random.hpp"

namespace holdwater::weather {

namespace {

constexpr double hour_memory = 0.54;

/// Mean-preserving run of monthly values through the year: straight lines between month middles whose knots
/// were moved until each month's mean is met.
std::vector<double> through_the_months(std::array<double, 12> const& monthly) {
    std::array<double, 12> knot = monthly;
    std::vector<double> out(hours_per_year);
    for (int pass = 0; pass < 60; ++pass) {
        std::size_t month = 0;
        std::array<double, 12> mean{};
        for (std::size_t i = 0; i < hours_per_year; ++i) {
            while (static_cast<int>(i) >= month_start_hour[month + 1]) ++month;
            auto const middle = [](std::size_t m) {
                return 0.5 * (month_start_hour[m] + month_start_hour[m + 1]);
            };
            double const at = static_cast<double>(i) + 0.5;
            bool const late = at >= middle(month);
            std::size_t const from = late ? month : (month + 11) % 12, to = (from + 1) % 12;
            double x0 = middle(from), x1 = middle(to);
            if (x0 > at) x0 -= hours_per_year;
            if (x1 < at) x1 += hours_per_year;
            out[i] = knot[from] + (knot[to] - knot[from]) * (at - x0) / (x1 - x0);
            mean[month] += out[i] / (month_start_hour[month + 1] - month_start_hour[month]);
        }
        for (std::size_t m = 0; m < 12; ++m) knot[m] += 0.8 * (monthly[m] - mean[m]);
    }
    return out;
}

/// Scales the hours of a day by one factor, none above its cap, so that they sum to `target`.
void meet_daily_sum(double* hours, double const* cap, double target) {
    double sum = 0;
    for (int h = 0; h < 24; ++h) sum += hours[h];
    if (sum > 0 && sum >= target) {  // downwards no cap is in the way
        for (int h = 0; h < 24; ++h) hours[h] *= target / sum;
        return;
    }
    for (int pass = 0; pass < 40; ++pass) {
        double total = 0, held = 0;
        for (int h = 0; h < 24; ++h) {
            total += hours[h];
            if (hours[h] >= cap[h]) held += hours[h];
        }
        // Down: all hours together. Up: those below their cap, until none passes it.
        bool const down = target <= total;
        if (total <= 0 || (!down && total <= held)) return;
        double const factor = down ? target / total : (target - held) / (total - held);
        bool capped = false;
        for (int h = 0; h < 24; ++h) {
            if (!down && hours[h] >= cap[h]) continue;
            hours[h] *= factor;
            if (hours[h] > cap[h]) hours[h] = cap[h], capped = true;
        }
        if (!capped) return;
    }
}

/// Mean of the distribution of monthly mean `k` when no day is clearer than `clear`.
double capped_mean(double k, double clear) {
    auto const d = clearness_distribution(k);
    constexpr int steps = 100;
    double sum = 0;
    for (int i = 0; i < steps; ++i) sum += std::min(clear, clearness_at(d, (i + 0.5) / steps));
    return sum / steps;
}

/// The means to put into the distribution so that the wanted ones come out under the cap of the clear sky.
std::array<double, 12> means_before_cap(std::array<double, 12> const& wanted,
                                        std::vector<double> const& clear_daily) {
    std::array<double, 12> means{};
    for (std::size_t m = 0; m < 12; ++m) {
        auto const first = static_cast<std::size_t>(month_start_hour[m] / 24),
                   end = static_cast<std::size_t>(month_start_hour[m + 1] / 24);
        double clear = 0;
        for (std::size_t day = first; day < end; ++day)
            clear += clear_daily[day] / static_cast<double>(end - first);
        double low = 0.15, high = 0.78;
        for (int step = 0; step < 30; ++step) {
            double const middle = 0.5 * (low + high);
            (capped_mean(middle, clear) < wanted[m] ? low : high) = middle;
        }
        means[m] = 0.5 * (low + high);
    }
    return means;
}

/// Daily clearness below the clear sky's, monthly means met if asked for, else on the average of many years.
std::vector<double> clearness_of_days(MakeOptions const& o, std::vector<double> const& clear_daily,
                                      std::uint64_t stream_seed) {
    auto const generate = [&](std::array<double, 12> const& means) {
        Random random(stream_seed);
        double chi = random.normal();
        auto daily = generate_daily_clearness(means, o.day_to_day, random, chi);
        for (std::size_t day = 0; day < daily.size(); ++day)
            daily[day] = std::min(daily[day], clear_daily[day]);
        return daily;
    };
    if (!o.keep_monthly_means) return generate(means_before_cap(o.clearness, clear_daily));
    // The random numbers stay the same while the mean K of the distribution is moved, so each month's mean
    // rises with its own K alone and a bisection per month finds it.
    std::array<double, 12> low, high;
    low.fill(0.1);
    high.fill(0.78);
    std::vector<double> daily;
    for (int step = 0; step < 24; ++step) {
        std::array<double, 12> middle{};
        for (std::size_t m = 0; m < 12; ++m) middle[m] = 0.5 * (low[m] + high[m]);
        daily = generate(middle);
        for (std::size_t m = 0; m < 12; ++m) {
            double sum = 0;
            int const first = month_start_hour[m] / 24, end = month_start_hour[m + 1] / 24;
            for (int day = first; day < end; ++day) sum += daily[static_cast<std::size_t>(day)];
            (sum / (end - first) < o.clearness[m] ? low : high)[m] = middle[m];
        }
    }
    return daily;
}

void make_light(WeatherYear& year, SunYear const& sun, std::vector<double> const& daily,
                std::vector<double> const& clear, Random& random) {
    year.ghi_w_m2.assign(hours_per_year, 0);
    double cap[24];
    double memory = random.normal();
    for (std::size_t day = 0; day < 365; ++day) {
        double outside = 0;
        for (std::size_t h = 0; h < 24; ++h) {
            std::size_t const i = day * 24 + h;
            memory = hour_memory * memory + std::sqrt(1 - hour_memory * hour_memory) * random.normal();
            double const extraterrestrial = sun.extraterrestrial_horizontal_w_m2[i];
            cap[h] = clear[i];
            outside += extraterrestrial;
            if (extraterrestrial <= 0) continue;
            auto const kt = hourly_clearness_of(daily[day], sun.air_mass[i]);
            // Never quite dark: a day's sum must be reachable by scaling.
            year.ghi_w_m2[i] = std::clamp((kt.mean + kt.scatter * memory) * extraterrestrial,
                                          0.02 * extraterrestrial, std::max(0.02 * extraterrestrial, cap[h]));
            cap[h] = std::max(cap[h], year.ghi_w_m2[i]);
        }
        meet_daily_sum(&year.ghi_w_m2[day * 24], cap, daily[day] * outside);
    }
}

/// At high clearness the split leaves less diffuse than a clear sky has.
void hold_beam_below_clear_sky(WeatherYear& year, MakeOptions const& o, SunYear const& sun) {
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        double const clear_dni =
            sun.sun_up_fraction[i] * clear_sky_ineichen_perez(sun.zenith_deg[i], o.site.elevation_m,
                                                              o.linke_turbidity,
                                                              sun.extraterrestrial_normal_w_m2[i])
                                         .dni_w_m2;
        if (year.dni_w_m2[i] <= clear_dni) continue;
        year.dni_w_m2[i] = clear_dni;
        year.dhi_w_m2[i] = year.ghi_w_m2[i] - clear_dni * sun.cos_zenith[i];
    }
}

void make_temperature(WeatherYear& year, MakeOptions const& o, std::vector<double> const& daily,
                      Random& random) {
    year.temperature_c = through_the_months(o.temperature_c);
    double anomaly_k = 3 * random.normal();
    double before_range_k = o.daily_range_k;
    std::vector<double> moved(hours_per_year);
    for (std::size_t day = 0; day < 365; ++day) {
        anomaly_k = 0.7 * anomaly_k + 3 * std::sqrt(1 - 0.49) * random.normal();
        std::size_t month = 0;
        while (static_cast<int>(day * 24) >= month_start_hour[month + 1]) ++month;
        double const range_k = o.daily_range_k * std::clamp(daily[day] / o.clearness[month], 0.35, 1.5);
        for (std::size_t h = 0; h < 24; ++h) {
            // From 05:00 up to 15:00 and down again; a night takes on the range of the day before it.
            double const t = static_cast<double>(h) + 0.5;
            double const wave = t < 5    ? std::cos(std::numbers::pi * (t + 9) / 14)
                                : t < 15 ? -std::cos(std::numbers::pi * (t - 5) / 10)
                                         : std::cos(std::numbers::pi * (t - 15) / 14);
            moved[day * 24 + h] = anomaly_k + 0.5 * (t < 5 ? before_range_k : range_k) * wave;
        }
        before_range_k = range_k;
    }
    for (std::size_t m = 0; m < 12; ++m) {
        double mean_k = 0;
        auto const first = static_cast<std::size_t>(month_start_hour[m]),
                   end = static_cast<std::size_t>(month_start_hour[m + 1]);
        for (std::size_t i = first; i < end; ++i) mean_k += moved[i] / static_cast<double>(end - first);
        for (std::size_t i = first; i < end; ++i) year.temperature_c[i] += moved[i] - mean_k;
    }
}

void make_wind(WeatherYear& year, MakeOptions const& o, Random& random) {
    year.wind_m_s.resize(hours_per_year);
    double chi = random.normal();
    for (double& wind : year.wind_m_s) {
        chi = 0.9 * chi + std::sqrt(1 - 0.81) * random.normal();
        // Rayleigh: mean = scale sqrt(pi)/2.
        wind = o.wind_mean_m_s * 2 / std::sqrt(std::numbers::pi) *
               std::sqrt(-std::log(normal_share_below(-chi)));
    }
}

}  // namespace

void validate(MakeOptions const& o) {
    auto const require = [](bool holds, std::string_view field, double value, char const* rule) {
        if (!holds) throw std::invalid_argument(fmt::format("{} = {} ({})", field, value, rule));
    };
    require(std::abs(o.site.latitude_deg) <= 66, "latitude_deg", o.site.latitude_deg,
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
    require(o.wind_mean_m_s >= 0 && o.wind_mean_m_s <= 20, "wind_mean_m_s", o.wind_mean_m_s,
            "must be 0 .. 20");
    require(o.linke_turbidity >= 1.5 && o.linke_turbidity <= 8, "linke_turbidity", o.linke_turbidity,
            "must be 1.5 .. 8");
}

HourlyClearness hourly_clearness_of(double daily, double air_mass) {
    double const k = std::clamp(daily, 0.01, 0.9);
    double const lambda = k - 1.167 * k * k * k * (1 - k);
    double const epsilon = 0.979 * (1 - k);
    double const kappa = 1.141 * (1 - k) / k;
    return {lambda + epsilon * std::exp(-kappa * air_mass), 0.16 * std::sin(std::numbers::pi * k / 0.90)};
}

WeatherYear make_weather(MakeOptions const& options) { return make_weather(options, 0); }

WeatherYear make_weather(MakeOptions const& o, int index) {
    validate(o);
    if (index < 0) throw std::invalid_argument(fmt::format("index = {} (must be 0 or more)", index));
    SunYear const sun = sun_over_year(o.site);
    auto const clear = clear_sky_ghi_w_m2(sun, o.linke_turbidity);
    // Two outputs of an engine seeded by year keep the years apart; seeds one apart are not neighbors in its
    // sequence.
    std::mt19937_64 seeder(o.seed);
    seeder.discard(2 * static_cast<unsigned long long>(index));
    std::uint64_t const day_seed = seeder();
    Random random(seeder());

    auto const daily = clearness_of_days(o, daily_clearness(clear, sun), day_seed);
    WeatherYear year;
    year.path = "made";
    year.format = "made";
    year.station = fmt::format("{} (invented place)", o.place);
    year.note = fmt::format(
        "{} is an invented place: this weather is made by a random generator, not measured.\n"
        "Seed {}, year {}. Do not use it for a real site.",
        o.place, o.seed, index);
    year.site = o.site;
    year.file_year.assign(hours_per_year, sun.year);
    make_light(year, sun, daily, clear, random);
    year.dni_w_m2.assign(hours_per_year, 0);
    year.dhi_w_m2.assign(hours_per_year, 0);
    decompose(year, sun, DecompositionModel::brl);
    hold_beam_below_clear_sky(year, o, sun);
    make_temperature(year, o, daily, random);
    make_wind(year, o, random);
    weather::validate(year);
    return year;
}

}  // namespace holdwater::weather
