#include "weather/cloudy_periods.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "weather/decomposition.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::weather {

std::vector<double> daily_energy_kwh_m2(std::vector<double> const& hourly_w_m2) {
    std::vector<double> daily(hourly_w_m2.size() / 24);
    for (std::size_t hour = 0; hour < daily.size() * 24; ++hour) daily[hour / 24] += hourly_w_m2[hour] / 1000;
    return daily;
}

std::vector<double> daily_energy_kwh_m2(PlaneYear const& plane) {
    std::vector<double> daily(plane.beam_w_m2.size() / 24);
    for (std::size_t hour = 0; hour < daily.size() * 24; ++hour)
        daily[hour / 24] += plane.total_w_m2(hour) / 1000;
    return daily;
}

std::vector<CloudyRun> worst_cloudy_periods(std::vector<double> const& daily, int longest_days,
                                            std::vector<int> const& file_year, bool round_the_year) {
    auto const n = daily.size();
    if (longest_days < 1 || static_cast<std::size_t>(longest_days) > n)
        throw std::invalid_argument(fmt::format("longest_days = {} (must be 1 .. {})", longest_days, n));
    // Normal value of a day: the mean of it and of 30 days before and after it, across the end of the year.
    std::vector<double> normal(n);
    std::size_t const reach = std::min<std::size_t>(30, (n - 1) / 2);
    for (std::size_t day = 0; day < n; ++day) {
        double sum = 0;
        for (std::size_t k = 0; k <= 2 * reach; ++k) sum += daily[(day + n + k - reach) % n];
        normal[day] = sum / static_cast<double>(2 * reach + 1);
    }
    auto const year_of = [&](std::size_t day) {
        return file_year[std::min(day * 24 + 12, file_year.size() - 1)];
    };
    std::vector<CloudyRun> worst;
    for (int length = 1; length <= longest_days; ++length) {
        auto const span = static_cast<std::size_t>(length);
        CloudyRun best;
        std::size_t const starts = round_the_year ? n : n - span + 1;
        for (std::size_t start = 0; start < starts; ++start) {
            // Each sum is computed from scratch: a running sum would keep rounding errors and make ties
            // random.
            double sum = 0;
            for (std::size_t k = 0; k < span; ++k) sum += daily[(start + k) % n];
            if (start == 0 || sum < best.energy)
                best = {static_cast<int>(start), length, sum, 0, false, false};
        }
        auto const first = static_cast<std::size_t>(best.first_day);
        double expected = 0;
        for (std::size_t k = 0; k < span; ++k) expected += normal[(first + k) % n];
        best.percent_of_normal = expected > 0 ? 100 * best.energy / expected : 0;
        best.over_year_end = first + span > n;
        for (std::size_t k = 1; k < span && !file_year.empty(); ++k)
            if (year_of((first + k) % n) != year_of((first + k - 1) % n)) best.over_seam = true;
        worst.push_back(best);
    }
    return worst;
}

void put_cloudy_period(WeatherYear& year, SunYear const& sun, CloudyPeriodOptions const& o) {
    auto const require = [](bool holds, char const* field, double value, char const* rule) {
        if (!holds) throw std::invalid_argument(fmt::format("{} = {} ({})", field, value, rule));
    };
    require(o.first_day >= 0 && o.first_day < 365, "first_day", o.first_day, "must be 0 .. 364");
    require(o.days >= 1 && o.days <= 365, "days", o.days, "must be 1 .. 365");
    require(o.clearness >= 0 && o.clearness <= 0.8, "clearness", o.clearness, "must be 0 .. 0.8");
    double const diffuse = o.clearness <= overcast_clearness ? 1 : diffuse_fraction_erbs(o.clearness);
    for (int k = 0; k < o.days; ++k) {
        auto const first = static_cast<std::size_t>((o.first_day + k) % 365) * 24;
        double mean_c = 0;
        for (std::size_t i = first; i < first + 24; ++i) mean_c += year.temperature_c[i] / 24;
        for (std::size_t i = first; i < first + 24; ++i) {
            year.ghi_w_m2[i] = o.clearness * sun.extraterrestrial_horizontal_w_m2[i];
            auto const parts = split(year.ghi_w_m2[i], diffuse, sun.cos_zenith[i], sun.sun_up_fraction[i],
                                     sun.extraterrestrial_normal_w_m2[i]);
            year.dni_w_m2[i] = diffuse < 1 ? parts.dni_w_m2 : 0;
            year.dhi_w_m2[i] = diffuse < 1 ? parts.dhi_w_m2 : year.ghi_w_m2[i];
            year.temperature_c[i] = mean_c + 0.5 * (year.temperature_c[i] - mean_c);
        }
    }
    year.repairs.push_back(
        {"cloudy_period", o.first_day * 24, o.days * 24,
         fmt::format("{} days were replaced by days of clearness {}", o.days, o.clearness)});
}

WeatherYear with_cloudy_period(WeatherYear const& year, SunYear const& sun,
                               CloudyPeriodOptions const& options) {
    auto out = year;
    put_cloudy_period(out, sun, options);
    return out;
}

}  // namespace holdwater::weather
