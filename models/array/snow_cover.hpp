#pragma once

#include <array>
#include <bitset>

namespace holdwater::models {

/// Days of the year on which snow lies on the array: a covered day gives nothing. For a backup study the days
/// are named outright; an annual mean loss would spread over the year what comes in one cloudy period. Leaves
/// out: partly cleared modules, sliding off during the day, light through thin snow.
struct SnowCover {
    std::bitset<366> days;  // day of year - 1
    friend bool operator==(SnowCover const&, SnowCover const&) = default;
};

/// Covers `count` days in a row from day of year `first_day` (1 .. 366), past the end of the year into
/// January. `year_days` 365 or 366. Throws ParameterError outside 1 .. year_days and 0 .. year_days.
void cover_days(SnowCover&, int first_day, int count, int year_days = 365);

/// Covered days of each month, January first, in one cloudy period around the middle of the month: the hard
/// case for a battery. Non-leap calendar.
SnowCover snow_by_month(std::array<int, 12> const& days_covered);

/// 0 on a covered day, else 1; multiplies the array power. day_of_year 1 .. 366.
inline double snow_factor(SnowCover const& s, int day_of_year) {
    return s.days[static_cast<unsigned>(day_of_year - 1)] ? 0.0 : 1.0;
}

}  // namespace holdwater::models
