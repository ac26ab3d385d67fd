#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::fuzz {

/// How a row begins: month and day; year, month and day; 12/31/1981; 1981-12-31.
enum class DateFields { month_day, year_month_day, us_date, iso_date };

inline std::string date_text(DateFields fields, int year, int month, int day) {
    switch (fields) {
        case DateFields::month_day:
            return fmt::format("{},{}", month, day);
        case DateFields::us_date:
            return fmt::format("{:02}/{:02}/{}", month, day, year);
        case DateFields::iso_date:
            return fmt::format("{}-{:02}-{:02}", year, month, day);
        case DateFields::year_month_day:
            break;
    }
    return fmt::format("{},{},{}", year, month, day);
}

/// Makes `years` years from the last 24 lines of the text, which are one day: every line is used once for
/// each day, with its first fields replaced by the date. The lines above them stay as they are.
inline std::string whole_years(std::string_view text, DateFields fields, int first_year, int years = 1) {
    std::vector<std::string_view> lines;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t const end = std::min(text.find('\n', at), text.size());
        lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    std::size_t const head = lines.size() - std::min<std::size_t>(lines.size(), 24);
    constexpr std::array<int, 4> date_fields{2, 3, 1, 1};
    std::string made;
    for (std::size_t i = 0; i < head; ++i) made.append(lines[i]) += '\n';
    for (int day = 0; day < 365 * years; ++day) {
        auto const at = weather::calendar_hour(24 * (day % 365));
        std::string const date = date_text(fields, first_year + day / 365, at.month, at.day);
        for (std::size_t i = head; i < lines.size(); ++i) {
            std::size_t from = 0;
            for (int k = 0;
                 k < date_fields[static_cast<std::size_t>(fields)] && from != std::string_view::npos; ++k)
                from = lines[i].find(',', k == 0 ? 0 : from + 1);
            made += date;
            if (from != std::string_view::npos) made.append(lines[i].substr(from));
            made += '\n';
        }
    }
    return made;
}

}  // namespace holdwater::fuzz
