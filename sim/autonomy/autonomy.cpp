#include "sim/autonomy/autonomy.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

struct LastsH {
    double water = CloudyPeriodStart::never, power = CloudyPeriodStart::never;
    LimitReason reason = LimitReason::none;
};

LastsH lasts_from(System const& system, CheckedInputs const& dark, int first_hour) {
    LastsH lasts;
    watch(system, dark, {first_hour, 24 * autonomy_looked_at_d},
          [&](int i, HourRecord const& r, std::span<Event const> events) {
              if (std::isinf(lasts.water) && r.water_short_m3 > some_water_m3) {
                  lasts.water = i;
                  lasts.reason = static_cast<LimitReason>(r.water_short_reason);
              }
              if (std::isinf(lasts.power)) lasts.power = inverter_off_h(events) - first_hour;
              return std::isinf(lasts.water) || std::isinf(lasts.power);
          });
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

bool not_for_power(LimitReason reason) {
    using enum LimitReason;
    return reason == well_dry || reason == pump_flow || reason == motor_rest || reason == trough_empty ||
           reason == low_pressure;
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
    std::vector<double> water_h(first_days.size()), power_h(first_days.size());
    std::vector<LimitReason> reasons(first_days.size());
    for_each_job(first_days.size(), [&](std::size_t i) {
        int const sunset = sunset_hours.at(static_cast<std::size_t>(first_days[i]));
        auto const begin = with_levels(alone, levels.at(static_cast<std::size_t>(sunset)));
        auto const lasts = lasts_from(begin, checked, sunset);
        water_h[i] = lasts.water;
        power_h[i] = lasts.power;
        reasons[i] = lasts.reason;
    });
    auto const first = std::min_element(water_h.begin(), water_h.end());
    return {worst_and_median(water_h, first_days), worst_and_median(power_h, first_days),
            first == water_h.end() ? LimitReason::none
                                   : reasons[static_cast<std::size_t>(first - water_h.begin())]};
}

}  // namespace holdwater::sim
