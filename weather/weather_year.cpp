#include "weather/weather_year.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

#include "models/numeric/expects.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

int hour_index(int month, int day, int hour) {
    HOLDWATER_EXPECTS(month != 2 || day != 29);
    return month_start_hour[month - 1] + (day - 1) * 24 + hour;
}

CalendarHour calendar_hour(int index) {
    int month = 1;
    while (index >= month_start_hour[month]) ++month;
    int const in_month = index - month_start_hour[month - 1];
    return {month, in_month / 24 + 1, in_month % 24};
}

void validate(WeatherYear const& year) {
    auto const check = [&](std::vector<double> const& values, std::string_view name, double low,
                           double high) {
        if (values.size() != hours_per_year)
            throw WeatherError(year.path, 0,
                               fmt::format("{} holds {} hours; 8760 are needed", name, values.size()));
        for (std::size_t hour = 0; hour < values.size(); ++hour)
            if (!(values[hour] >= low && values[hour] <= high)) {
                auto const at = calendar_hour(static_cast<int>(hour));
                throw WeatherError(
                    year.path, 0,
                    fmt::format("{} = {} in the hour from {:02}-{:02} {:02}:00; accepted are {} to {}", name,
                                values[hour], at.month, at.day, at.hour, low, high));
            }
    };
    auto const check_site = [&](double value, std::string_view name, double low, double high) {
        if (!(value >= low && value <= high))
            throw WeatherError(year.path, 0,
                               fmt::format("{} = {}; accepted are {} to {}", name, value, low, high));
    };
    check_site(year.site.latitude_deg, "latitude", -90, 90);
    check_site(year.site.longitude_deg, "longitude", -180, 180);
    check_site(year.site.elevation_m, "elevation", -450, 9000);
    check_site(year.site.utc_offset_h, "UTC offset", -12, 14);
    check(year.ghi_w_m2, "GHI", 0, 2500);
    check(year.dni_w_m2, "DNI", 0, 2500);
    check(year.dhi_w_m2, "DHI", 0, 2500);
    check(year.temperature_c, "temperature", -90, 70);
    check(year.wind_m_s, "wind", 0, 120);
    if (!year.albedo.empty()) check(year.albedo, "albedo", 0, 1);
    if (year.file_year.size() != hours_per_year)
        throw WeatherError(year.path, 0, "file_year is not 8760 long");
}

}  // namespace holdwater::weather
