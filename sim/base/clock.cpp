#include "sim/base/clock.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <array>

namespace holdwater::sim {
namespace {

// Any year without 29 February will do.
date::year_month_day date_of_hour(int hour) {
    using namespace date::literals;
    return date::sys_days{date::January / 1 / 2023} + date::days{day_of_hour(hour)};
}

}  // namespace

int month_of_hour(int hour) { return static_cast<int>(static_cast<unsigned>(date_of_hour(hour).month())); }

std::string_view month_name(int month) {
    constexpr std::array<std::string_view, 12> names{"January",   "February", "March",    "April",
                                                     "May",       "June",     "July",     "August",
                                                     "September", "October",  "November", "December"};
    return names.at(static_cast<std::size_t>(month - 1));
}

std::string stamp_of_hour(double hour) {
    long const minutes = std::lround(hour * 60);
    int const whole = static_cast<int>(minutes / 60);
    auto const day = date_of_hour(whole);
    return fmt::format("{:02}-{:02} {:02}:{:02}", static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()), whole % 24, minutes % 60);
}

}  // namespace holdwater::sim
