#pragma once

#include <cmath>

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

}  // namespace holdwater::models
