#include "weather/made_light.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "weather/clear_sky.hpp"
#include "weather/decomposition.hpp"

namespace holdwater::weather {

namespace {

constexpr double hour_memory = 0.54;
constexpr std::size_t most_lit_hours = 24;

/// The part of Graham & Hollands that depends only on the day.
struct DayOfHours {
    double lambda, epsilon, kappa, scatter;
    explicit DayOfHours(double daily) {
        double const k = std::clamp(daily, 0.01, 0.9);
        lambda = k - 1.167 * k * k * k * (1 - k);
        epsilon = 0.979 * (1 - k);
        kappa = 1.141 * (1 - k) / k;
        scatter = 0.16 * std::sin(std::numbers::pi * k / 0.90);
    }
    [[nodiscard]] double mean(double air_mass) const {
        return lambda + epsilon * std::exp(-kappa * air_mass);
    }
};

/// Scales hours by one factor, with none above its cap, so that their sum is `target`.
void meet_daily_sum(double* hours, double const* cap, std::size_t count, double target) {
    double sum = 0;
    for (std::size_t h = 0; h < count; ++h) sum += hours[h];
    if (sum > 0 && sum >= target) {  // if the sum has to fall, no cap is reached
        for (std::size_t h = 0; h < count; ++h) hours[h] *= target / sum;
        return;
    }
    for (int pass = 0; pass < 40; ++pass) {
        double total = 0, held = 0;
        for (std::size_t h = 0; h < count; ++h) {
            total += hours[h];
            if (hours[h] >= cap[h]) held += hours[h];
        }
        // Scales those below their cap, until none exceeds it.
        if (total <= 0 || target <= total || total <= held) return;
        double const factor = (target - held) / (total - held);
        bool capped = false;
        for (std::size_t h = 0; h < count; ++h) {
            if (hours[h] >= cap[h]) continue;
            hours[h] *= factor;
            if (hours[h] > cap[h]) hours[h] = cap[h], capped = true;
        }
        if (!capped) return;
    }
}

}  // namespace

HourlyClearness hourly_clearness_of(double daily, double air_mass) {
    DayOfHours const day(daily);
    return {day.mean(air_mass), day.scatter};
}

LightOfPlace light_of_place(Site const& site, double linke_turbidity, SunYear sun_of_year) {
    LightOfPlace place;
    place.sun = std::move(sun_of_year);
    SunYear const& sun = place.sun;
    for (std::size_t day = 0; day < 365; ++day) {
        place.first[day] = place.hours.size();
        double clear_sum = 0;
        for (std::size_t i = 24 * day; i < 24 * day + 24; ++i) {
            double const outside = sun.extraterrestrial_horizontal_w_m2[i];
            if (outside <= 0) continue;
            auto const clear = clear_sky_ineichen_perez(sun.zenith_deg[i], site.elevation_m, linke_turbidity,
                                                        sun.extraterrestrial_normal_w_m2[i]);
            double const up = sun.sun_up_fraction[i];
            place.hours.push_back({i, outside, up * clear.ghi_w_m2, up * clear.dni_w_m2, sun.air_mass[i],
                                   sun.solar_time_h[i], 90 - sun.zenith_deg[i], sun.cos_zenith[i], up,
                                   sun.extraterrestrial_normal_w_m2[i]});
            place.outside_w_m2[day] += outside;
            clear_sum += up * clear.ghi_w_m2;
        }
        place.clear[day] = place.outside_w_m2[day] > 0 ? clear_sum / place.outside_w_m2[day] : 0;
    }
    place.first[365] = place.hours.size();
    return place;
}

void make_light(LightOfPlace const& place, std::array<double, 365> const& daily, HourlyNormals& random,
                WeatherYear& year) {
    double const memory_new = std::sqrt(1 - hour_memory * hour_memory);
    // Never completely dark, because scaling must be able to reach the sum of the day.
    constexpr double darkest_hour = 0.02;
    std::array<double, most_lit_hours> ghi{}, cap{}, kt{};
    for (std::size_t day = 0; day < 365; ++day) {
        LitHour const* const lit = place.hours.data() + place.first[day];
        std::size_t const count = place.first[day + 1] - place.first[day];
        DayOfHours const hours(daily[day]);
        double memory = random.next();
        for (std::size_t h = 0; h < count; ++h) {
            double const least = darkest_hour * lit[h].outside_w_m2;
            cap[h] = std::max(least, lit[h].clear_w_m2);
            ghi[h] = std::clamp((hours.mean(lit[h].air_mass) + hours.scatter * memory) * lit[h].outside_w_m2,
                                least, cap[h]);
            memory = hour_memory * memory + memory_new * random.next();
        }
        meet_daily_sum(ghi.data(), cap.data(), count, daily[day] * place.outside_w_m2[day]);
        for (std::size_t h = 0; h < count; ++h) kt[h] = std::clamp(ghi[h] / lit[h].outside_w_m2, 0.0, 1.0);
        for (std::size_t h = 0; h < count; ++h) {
            bool const before = h > 0, after = h + 1 < count;
            double const persistence = before && after ? 0.5 * (kt[h - 1] + kt[h + 1])
                                       : after         ? kt[h + 1]
                                       : before        ? kt[h - 1]
                                                       : kt[h];
            double const fraction = diffuse_fraction_brl(
                {kt[h], lit[h].solar_time_h, lit[h].elevation_deg, daily[day], persistence});
            auto parts = split(ghi[h], fraction, lit[h].cos_zenith, lit[h].sun_up_fraction,
                               lit[h].outside_normal_w_m2);
            // At high clearness the split leaves less diffuse light than a clear sky has.
            if (parts.dni_w_m2 > lit[h].clear_beam_w_m2)
                parts = {lit[h].clear_beam_w_m2, ghi[h] - lit[h].clear_beam_w_m2 * lit[h].cos_zenith};
            std::size_t const i = lit[h].hour;
            year.ghi_w_m2[i] = ghi[h];
            year.dni_w_m2[i] = parts.dni_w_m2;
            year.dhi_w_m2[i] = parts.dhi_w_m2;
        }
    }
}

}  // namespace holdwater::weather
