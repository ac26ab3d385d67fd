#include "tools/show/date_text.hpp"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/clock.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

std::string date_text(int day) {
    auto const at = weather::calendar_hour(24 * (day % 365));
    return fmt::format("{} {}", at.day, sim::short_month_name(at.month));
}

std::string stamp_text(double hour) {
    auto const stamp = sim::stamp_of_hour(hour);
    return date_text(sim::day_of_hour(static_cast<int>(std::lround(hour * 60) / 60))) + stamp.substr(5);
}

std::string end_stamp_text(double hour) {
    long const minutes = std::lround(hour * 60);
    if (minutes % (60L * 24) != 0) return stamp_text(hour);
    return date_text(static_cast<int>(minutes / (60L * 24) - 1)) + " 24:00";
}

std::string month_and_day(int day) { return sim::stamp_of_hour(24.0 * (day % 365)).substr(0, 5); }

}  // namespace holdwater::tools
