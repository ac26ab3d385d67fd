#include "models/array/snow_cover.hpp"

#include <fmt/format.h>

#include <cstddef>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void cover_days(SnowCover& s, int first_day, int count, int year_days) {
    require(year_days == 365 || year_days == 366, "year_days", year_days, "must be 365 or 366");
    require(first_day >= 1 && first_day <= year_days, "first_day", first_day,
            "must be a day of the year, 1 to 365 (366)");
    require(count >= 0 && count <= year_days, "count", count, "must be 0 to the days of the year");
    for (int k = 0; k < count; ++k) s.days.set(static_cast<std::size_t>((first_day - 1 + k) % year_days));
}

SnowCover snow_by_month(std::array<int, 12> const& days_covered) {
    constexpr std::array<int, 12> month_days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    SnowCover s;
    int before = 0;
    for (std::size_t m = 0; m < month_days.size(); ++m) {
        int const count = days_covered[m];
        require(count >= 0 && count <= month_days[m], fmt::format("days_covered[{}]", m + 1), count,
                "must be 0 to the days of that month");
        cover_days(s, before + 1 + (month_days[m] - count) / 2, count);
        before += month_days[m];
    }
    return s;
}

}  // namespace holdwater::models
