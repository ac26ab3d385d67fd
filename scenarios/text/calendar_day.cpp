#include "scenarios/text/calendar_day.hpp"

#include <charconv>
#include <string>

#include "weather/weather_year.hpp"

namespace holdwater::scenarios {

int calendar_day(Section& s, std::string_view key) {
    std::string const given = s.text(key);
    auto const two_digits = [&](std::size_t at) {
        int value = 0;
        auto const end = given.data() + at + 2;
        return std::from_chars(given.data() + at, end, value).ptr == end ? value : 0;
    };
    if (given.size() == 5 && given[2] == '-') {
        int const month = two_digits(0), day = two_digits(3);
        if (month >= 1 && month <= 12 && day >= 1) {
            int const first = weather::month_start_hour[month - 1] / 24;
            if (first + day <= weather::month_start_hour[month] / 24) return first + day - 1;
        }
    }
    s.fail(key, "\"" + given + "\" is not a day of a 365-day year; accepted: MM-DD such as \"03-21\"");
}

}  // namespace holdwater::scenarios
