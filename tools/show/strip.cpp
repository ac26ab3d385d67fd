#include "tools/show/strip.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tools/show/cloudy_period_view.hpp"
#include "tools/show/date_text.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t most_columns = 61;  // a year fits into columns of six days each
constexpr std::array levels{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};

char const* level_mark(double level) {
    return levels[static_cast<std::size_t>(std::clamp(std::floor(level * 8), 0.0, 7.0))];
}

char const* share_mark(double share) {
    return share <= 0 ? " " : share < 0.1 ? "░" : share < 0.5 ? "▒" : "▓";
}

std::string row_text(StripRow const& row, std::size_t step) {
    std::string out;
    for (std::size_t first = 0; first < row.days.size(); first += step) {
        auto const begin = row.days.begin() + static_cast<std::ptrdiff_t>(first);
        auto const end =
            row.days.begin() + static_cast<std::ptrdiff_t>(std::min(first + step, row.days.size()));
        if (row.kind == StripRow::Kind::level) {
            out += level_mark(*std::min_element(begin, end));
        } else {
            double sum = 0;
            for (auto day = begin; day != end; ++day) sum += *day;
            out += share_mark(sum / static_cast<double>(end - begin));
        }
    }
    return out;
}

// The first letter of each month, below the column that contains its first day.
std::string month_letters(std::size_t days, std::size_t step, int first_day) {
    constexpr std::string_view letters = "JFMAMJJASOND";
    std::string out((days + step - 1) / step, ' ');
    for (std::size_t day = 0; day < days; ++day) {
        int const of_year = (first_day + static_cast<int>(day)) % 365;
        for (std::size_t m = 0; m < 12; ++m)
            if (of_year * 24 == weather::month_start_hour[m]) out[day / step] = letters[m];
    }
    out.erase(out.find_last_not_of(' ') + 1);
    return out;
}

}  // namespace

int days_a_column(std::size_t days) {
    return static_cast<int>(std::max<std::size_t>((days + most_columns - 1) / most_columns, 1));
}

std::string strip(std::vector<StripRow> const& rows, int first_day, Screen const& screen) {
    std::string out;
    std::size_t days = 0;
    for (auto const& row : rows) {
        days = row.days.size();
        auto const text = row_text(row, static_cast<std::size_t>(days_a_column(days)));
        out += screen.color ? fmt::format("  {:<10}\x1b[{}m{}\x1b[0m\n", row.label, row.color, text)
                            : fmt::format("  {:<10}{}\n", row.label, text);
    }
    auto const step = static_cast<std::size_t>(days_a_column(days));
    if (step > 1) return out + fmt::format("  {:<10}{}\n", "", month_letters(days, step, first_day));
    // The columns by date: first and last day of each.
    auto const first = date_text(first_day), last = date_text(first_day + static_cast<int>(days) - 1);
    if (days < 12) return out + fmt::format("  {:<10}{}{}\n", "", first, days > 1 ? " to " + last : "");
    return out + fmt::format("  {:<10}{}{:>{}}\n", "", first, last, days - first.size());
}

}  // namespace holdwater::tools
