#pragma once

#include <array>
#include <bitset>

namespace holdwater::models {

/// Days of the year on which snow covers the array. A covered day gives no power. A backup study needs the
/// days themselves: a mean loss over the year would spread out what happens in one cloudy period. Leaves out:
/// partly cleared modules, snow that slides off during the day, light through thin snow.
struct SnowCover {
    std::bitset<366> days;  // day of year - 1
    friend bool operator==(SnowCover const&, SnowCover const&) = default;
};

/// Covers `count` days in a row from day of year `first_day`, and continues in January after the end of the
/// year. `year_days` is 365 or 366. Throws ParameterError if `first_day` is not in 1 .. year_days or `count`
/// not in 0 .. year_days.
void cover_days(SnowCover&, int first_day, int count, int year_days = 365);

/// Covered days of each month, January first, in one run around the middle of the month, which is the hardest
/// case for a battery. Calendar without 29 February.
SnowCover snow_by_month(std::array<int, 12> const& days_covered);

/// Factor for the array power: 0 on a covered day, otherwise 1. day_of_year 1 .. 366.
inline double snow_factor(SnowCover const& s, int day_of_year) {
    return s.days[static_cast<unsigned>(day_of_year - 1)] ? 0.0 : 1.0;
}

}  // namespace holdwater::models
