#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdwater::models {

/// Whether an hour of day [h] lies in a daily span, which may cross midnight. If the ends are equal, the span
/// is empty. The start belongs to the span, the end does not.
inline bool in_daily_span(double hour_of_day, double from_h, double to_h) {
    if (from_h == to_h) return false;
    return from_h < to_h ? hour_of_day >= from_h && hour_of_day < to_h
                         : hour_of_day >= from_h || hour_of_day < to_h;
}

/// Hour of day of a time that is counted from any midnight [h].
inline double hour_of_day(double time_h) { return time_h - 24 * std::floor(time_h / 24); }

/// Whole hours of the day from `from` (0 .. 23) until `until` (1 .. 24), past midnight if it is not later;
/// both 0: none.
struct DailyHours {
    int from = 0, until = 0;
    [[nodiscard]] bool none() const { return from == until; }
    [[nodiscard]] bool has(double hour_of_day) const { return in_daily_span(hour_of_day, from, until); }
    friend bool operator==(DailyHours const&, DailyHours const&) = default;
};

/// Next time after `time_h` at which these hours begin or end [h]; infinity if there are none.
inline double next_change_h(DailyHours const& hours, double time_h) {
    double next_h = std::numeric_limits<double>::infinity();
    if (hours.none()) return next_h;
    for (int const clock : {hours.from, hours.until}) {
        double const today_h = 24 * std::floor(time_h / 24) + clock;
        next_h = std::min(next_h, today_h > time_h ? today_h : today_h + 24);
    }
    return next_h;
}

}  // namespace holdwater::models
