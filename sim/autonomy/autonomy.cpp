#include "sim/autonomy/autonomy.hpp"

#include <algorithm>
#include <cmath>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

// Most designs have a shortage within this time; the others are followed to the end.
constexpr int short_look_d = 10;

struct LastsH {
    double water = CloudyPeriodStart::never, power = CloudyPeriodStart::never;
};

LastsH lasts_from(System const& system, CheckedInputs const& dark, int first_hour) {
    LastsH lasts;
    for (int const days : {short_look_d, autonomy_looked_at_d}) {
        auto const run = simulate(system, dark, {first_hour, 24 * days});
        auto const dry = std::find_if(run.hours.begin(), run.hours.end(),
                                      [](HourRecord const& h) { return h.water_short_m3 > some_water_m3; });
        if (dry != run.hours.end()) lasts.water = static_cast<double>(dry - run.hours.begin());
        lasts.power = power_lost_h(run);
        if (std::isfinite(lasts.water) && std::isfinite(lasts.power)) break;
    }
    return lasts;
}

}  // namespace

WorstAndMedian worst_and_median(std::vector<double> const& hours, std::vector<int> const& first_days) {
    WorstAndMedian l;
    if (hours.empty()) return l;
    auto const worst = std::min_element(hours.begin(), hours.end());
    l.worst_d = *worst / 24;
    l.worst_day = first_days[static_cast<std::size_t>(worst - hours.begin())];
    auto sorted = hours;
    std::sort(sorted.begin(), sorted.end());
    // At least half of the starts last this long.
    l.median_d = sorted[sorted.size() / 2] / 24;
    return l;
}

std::vector<int> sunset_hours(weather::SunYear const& sun) {
    std::vector<int> hours;
    for (int day = 0; day < days_per_year; ++day) {
        int sunset = 24 * (day + 1);
        for (int h = 24 * day; h < 24 * (day + 1); ++h) {
            bool const up = sun.sun_up_fraction[static_cast<std::size_t>(h)] > 0;
            bool const up_next = sun.sun_up_fraction[static_cast<std::size_t>((h + 1) % hours_per_year)] > 0;
            if (up && !up_next) sunset = h + 1;
        }
        hours.push_back(sunset % hours_per_year);
    }
    return hours;
}

Autonomy autonomy_of(System const& design, HourlyInputs const& dark, std::vector<StoreLevels> const& levels,
                     std::vector<int> const& sunset_hours, std::vector<int> const& first_days) {
    auto const alone = without_backup(design);
    CheckedInputs const checked(dark);
    std::vector<double> water_h, power_h;
    for (int const day : first_days) {
        int const sunset = sunset_hours.at(static_cast<std::size_t>(day));
        auto const begin = with_levels(alone, levels.at(static_cast<std::size_t>(sunset)));
        auto const lasts = lasts_from(begin, checked, sunset);
        water_h.push_back(lasts.water);
        power_h.push_back(lasts.power);
    }
    return {worst_and_median(water_h, first_days), worst_and_median(power_h, first_days)};
}

}  // namespace holdwater::sim
