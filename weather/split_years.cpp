#include "weather/split_years.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <map>
#include <set>

#include "weather/hour_table.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

/// Fewer hours than this are what was moved over the end of a year, and not a year of their own.
constexpr int least_year_h = 48;

long long minute_of(RawRow const& row, std::string const& path) {
    if (row.year == 0)
        throw WeatherError(path, row.line,
                           "the row has no year; recorded years need the year of every row (a column year, "
                           "or time with its date)");
    date::year_month_day const day = date::year{row.year} / row.month / row.day;
    if (!day.ok())
        throw WeatherError(path, row.line,
                           fmt::format("there is no day {} in month {} of {}", row.day, row.month, row.year));
    return static_cast<long long>(date::sys_days{day}.time_since_epoch().count()) * 1440 + row.minute;
}

date::year_month_day day_of(long long minute) {
    long long const day = (minute >= 0 ? minute : minute - 1439) / 1440;
    return date::sys_days{date::days{static_cast<int>(day)}};
}

}  // namespace

std::set<int> years_in(RawTable const& table) {
    std::map<int, int> rows;
    for (RawRow const& row : table.rows) ++rows[row.year];
    std::set<int> years;
    for (auto const& [year, count] : rows)
        if (count * table.interval_min >= 60 * least_year_h) years.insert(year);
    return years;
}

std::map<int, RawTable> split_years(RawTable&& table, ReadOptions const& options,
                                    std::set<int> const& record) {
    if (table.rows.empty()) throw WeatherError(table.path, 0, "no data rows; 8760 hours are needed");
    int const stamp_to_start = stamp_to_start_min(table, options);
    int const to_start = stamp_to_start + 60 * table.hours_to_local;
    auto const rows = std::move(table.rows);
    auto const moved = std::move(table.moved_stamps);
    table.rows.clear();
    table.moved_stamps.clear();
    table.hours_to_local = 0;
    std::map<int, RawTable> years;
    std::map<int, int> at_other_end;
    auto const put = [&](RawRow row, int year, date::year_month_day const& day, int in_day) {
        row.year = year;
        row.month = static_cast<int>(static_cast<unsigned>(day.month()));
        row.day = static_cast<int>(static_cast<unsigned>(day.day()));
        // Still the time of the row: place_rows converts it to the start of the interval.
        row.minute = in_day - stamp_to_start;
        years.try_emplace(year, table).first->second.rows.push_back(row);
    };
    for (RawRow const& row : rows) {
        long long const start = minute_of(row, table.path) + to_start;
        auto const day = day_of(start);
        auto const in_day = static_cast<int>(((start % 1440) + 1440) % 1440);
        int const year = static_cast<int>(day.year());
        bool const own_year = record.contains(row.year);
        if (year == row.year || record.contains(year) || !own_year) put(row, year, day, in_day);
        // The hours for the other end of this year come from the year on that side.
        if (year != row.year && own_year && !record.contains(2 * row.year - year)) {
            put(row, row.year, day, in_day);
            ++at_other_end[row.year];
        }
    }
    for (auto& [year, part] : years) {
        if (!moved.empty()) part.warnings.push_back(moved);
        if (auto const kept = at_other_end.find(year); kept != at_other_end.end())
            part.warnings.push_back(fmt::format(
                "{:g} h of {} that lie beyond its end were moved to the other end of the year, because the "
                "record has nothing of the adjacent year",
                kept->second * table.interval_min / 60.0, year));
    }
    return years;
}

}  // namespace holdwater::weather
