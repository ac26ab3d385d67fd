#pragma once

#include <cmath>
#include <string>
#include <string_view>

namespace holdwater::sim {

inline constexpr int hours_per_year = 8760, days_per_year = 365;
inline constexpr double seconds_per_hour = 3600;

/// The part of the year that is run, and its longest step.
/// Hour 0 is 00:00-01:00 local standard time on 1 January; the year has 8760 hours and no 29 February.
struct Clock {
    int first_hour = 0;          ///< [0, 8759]
    int hours = hours_per_year;  ///< number of hours that are run; the weather repeats after its end, > 0
    double longest_step_s =
        seconds_per_hour;  ///< steps also end at multiples of this; results must not depend on it
};

/// Month 1..12 of an hour of the year (any hour >= 0; the year repeats).
int month_of_hour(int hour);
/// "January" .. "December" of a month 1 .. 12; its first three letters.
std::string_view month_name(int month);
inline std::string_view short_month_name(int month) { return month_name(month).substr(0, 3); }
/// Day of the year, 0..364, of an hour of the year (the year repeats).
inline int day_of_hour(int hour) { return (hour / 24) % 365; }
/// "01-14 06:00" for an hour of the year (any hour >= 0; the year repeats), rounded to the minute.
std::string stamp_of_hour(double hour);

}  // namespace holdwater::sim
