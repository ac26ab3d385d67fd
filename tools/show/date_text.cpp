#include "tools/show/date_text.hpp"

#include <fmt/format.h>

#include "sim/base/clock.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {

std::string date_text(int day) {
    auto const at = weather::calendar_hour(24 * (day % 365));
    return fmt::format("{} {}", at.day, sim::short_month_name(at.month));
}

std::string month_and_day(int day) { return sim::stamp_of_hour(24.0 * (day % 365)).substr(0, 5); }

}  // namespace holdwater::tools
