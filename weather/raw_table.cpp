#include "weather/raw_table.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "weather/hour_table.hpp"
#include "weather/quality.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

constexpr int minutes_per_year = hours_per_year * 60;

/// Brings the minutes into 0 .. 1439 and changes the date accordingly.
void normalize(RawRow& row, bool file_has_29_february) {
    int const shown_year = row.year > 0 ? row.year : file_has_29_february ? 2024 : 2023;
    auto day = date::sys_days{date::year{shown_year} / row.month / row.day};
    while (row.minute < 0) day -= date::days{1}, row.minute += 1440;
    while (row.minute >= 1440) day += date::days{1}, row.minute -= 1440;
    date::year_month_day const ymd{day};
    row.month = static_cast<int>(static_cast<unsigned>(ymd.month()));
    row.day = static_cast<int>(static_cast<unsigned>(ymd.day()));
    if (row.month == 2 && row.day == 29 && !file_has_29_february) row.day = 28;
    // A row that moves into the year before or after keeps its year.
}

/// Minutes from the start of an interval to its stamp.
int behind_start_min(Stamp stamp, int interval_min) {
    return stamp == Stamp::start ? 0 : stamp == Stamp::end ? interval_min : interval_min / 2;
}

char const* name_of(Stamp stamp) {
    return stamp == Stamp::start ? "start" : stamp == Stamp::end ? "end" : "middle";
}

/// The minutes by which the intervals begin off the full hour, which the UTC offset of the year takes.
int off_the_hour_min(RawTable const& table, ReadOptions const& options) {
    int const interval = table.interval_min;
    int const to_start = options.shift_min - behind_start_min(options.stamp.value_or(table.stamp), interval);
    int const off = ((table.rows[0].minute + to_start) % interval + interval) % interval;
    bool const may_move = options.stamp || options.shift_min != 0 || table.other_clock;
    return !may_move ? 0 : 2 * off > interval ? off - interval : off;
}

/// Turns the stamps into starts of intervals. If all starts are off by the same number of minutes, the UTC
/// offset of the year takes these minutes, and the starts become full intervals.
void stamps_to_starts(RawTable& table, ReadOptions const& options) {
    if (std::abs(options.shift_min) > 1440)
        throw WeatherError(table.path, 0,
                           fmt::format("a shift of {} min; -1440 to 1440 are accepted", options.shift_min));
    int const to_start = stamp_to_start_min(table, options), left_over = off_the_hour_min(table, options);
    if (options.stamp) {
        table.stamp = *options.stamp;
        table.instants = false;
    }
    for (RawRow& row : table.rows) row.minute += to_start;
    std::string rule;
    if (options.stamp)
        rule = fmt::format("stamps taken as the {} of their interval, as asked", name_of(table.stamp));
    if (options.shift_min != 0)
        rule += fmt::format("{}{:+} min added to every stamp, as asked", rule.empty() ? "" : "; ",
                            options.shift_min);
    if (left_over != 0) {
        double const before_h = table.site.utc_offset_h;
        table.site.utc_offset_h -= left_over / 60.0;
        rule += fmt::format(
            "{}the intervals begin {} min {} the full hour: the year runs on a clock of UTC{:+.4g} h in "
            "place "
            "of UTC{:+.4g} h",
            rule.empty() ? "" : "; ", std::abs(left_over), left_over > 0 ? "after" : "before",
            table.site.utc_offset_h, before_h);
    }
    if (!rule.empty()) table.repairs.push_back({"clock", 0, hours_per_year, rule});
}

/// The `stamp` or `shift` to write so that the clock moves by `best_shift_min` more.
std::string cure_of(RawTable const& table, ReadOptions const& options, int best_shift_min) {
    int const behind = behind_start_min(table.stamp, table.interval_min) - best_shift_min;
    if (options.shift_min == 0 && !table.instants)
        for (Stamp stamp : {Stamp::start, Stamp::middle, Stamp::end})
            if (behind == behind_start_min(stamp, table.interval_min))
                return fmt::format("stamp = \"{0}\" in [weather], or --stamp {0} with \"holdwater weather\"",
                                   name_of(stamp));
    return fmt::format("shift = \"{0} min\" in [weather], or --shift={0} with \"holdwater weather\"",
                       options.shift_min + best_shift_min);
}

/// Whether the three components of the file show that its clock is wrong, and by how much: up to an hour, or,
/// if they do not fit at all, up to half a day.
ShiftTest test_clock(HourTable const& hours, SunYear const& sun) {
    constexpr double bad_closure = 0.03;
    std::vector<int> shifts;
    auto const up_to = [&](int most) {
        shifts.clear();
        for (int shift = -most; shift <= most; shift += 10)
            if (shift != 0) shifts.push_back(shift);
        return closure_shift_test(hours, sun, shifts);
    };
    ShiftTest const near = up_to(60);
    return near.best_residual > bad_closure ? up_to(720) : near;
}

}  // namespace

void check_site(RawTable const& table) {
    auto const check = [&](double value, char const* name, double low, double high, char const* hint) {
        if (!(value >= low && value <= high))
            throw WeatherError(
                table.path, 0,
                fmt::format("{} = {}; {} to {} are accepted ({})", name, value, low, high, hint));
    };
    check(table.site.latitude_deg, "latitude", -90, 90, "north positive");
    check(table.site.longitude_deg, "longitude", -180, 180, "east positive");
    check(table.site.elevation_m, "elevation", -450, 9000, "meters above sea level");
    check(table.site.utc_offset_h, "UTC offset", -12, 14, "hours, west negative");
}

int stamp_to_start_min(RawTable const& table, ReadOptions const& options) {
    return options.shift_min - behind_start_min(options.stamp.value_or(table.stamp), table.interval_min) -
           off_the_hour_min(table, options);
}

HourTable place_rows(RawTable& table, ReadOptions const& options) {
    if (table.rows.empty()) throw WeatherError(table.path, 0, "no data rows; 8760 hours are needed");
    stamps_to_starts(table, options);
    if (!table.moved_stamps.empty())
        table.warnings.push_back(table.moved_stamps +
                                 "; the hours carried over the end of the year belong to its other end");
    int const per_hour = 60 / table.interval_min;
    int const slots = hours_per_year * per_hour;
    bool const has_29_february = std::any_of(table.rows.begin(), table.rows.end(), [](RawRow const& row) {
        return row.month == 2 && row.day == 29;
    });
    std::vector<int> row_of_slot(static_cast<std::size_t>(slots), -1);
    int dropped = 0, back_steps = 0, previous = -1, first_back = 0;
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
        RawRow& row = table.rows[r];
        static constexpr int month_days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
        if (row.day > month_days[row.month - 1])
            throw WeatherError(table.path, row.line,
                               fmt::format("there is no day {} in month {}", row.day, row.month));
        if (row.minute < 0 || row.minute >= 1440) normalize(row, has_29_february);
        if (row.month == 2 && row.day == 29) {
            ++dropped;
            continue;
        }
        int minute = hour_index(row.month, row.day, 0) * 60 + row.minute;
        if (minute < previous && back_steps++ == 0) first_back = minute / 60;
        previous = minute;
        minute =
            (minute + table.hours_to_local * 60 % minutes_per_year + minutes_per_year) % minutes_per_year;
        if (minute % table.interval_min != 0)
            throw WeatherError(
                table.path, row.line,
                fmt::format("the stamp is off the {} min grid of the file", table.interval_min));
        auto& slot = row_of_slot[static_cast<std::size_t>(minute / table.interval_min)];
        if (slot >= 0) {
            RawRow const& other = table.rows[static_cast<std::size_t>(slot)];
            throw WeatherError(
                table.path, row.line,
                other.year != row.year
                    ? fmt::format("the same hour of the year as line {}, in {} and in {}: the file holds "
                                  "several years. Name it among the recorded years (years = [...] in "
                                  "[weather], or \"holdwater years --weather\"); here one year is expected",
                                  other.line, other.year, row.year)
                    : fmt::format("the same hour as line {}; a year in local standard time (no daylight "
                                  "saving) has each once",
                                  other.line));
        }
        slot = static_cast<int>(r);
    }
    if (dropped > 0)
        table.repairs.push_back({"29 February", hour_index(3, 1, 0), dropped / per_hour,
                                 "the leap day was dropped with all its hours"});
    if (back_steps > 1 || (back_steps == 1 && first_back != 0))
        table.repairs.push_back(
            {"order", first_back, back_steps,
             fmt::format("rows step back in time {} times; they were placed by their dates", back_steps)});

    HourTable hours;
    for (auto* v : {&hours.ghi_w_m2, &hours.dni_w_m2, &hours.dhi_w_m2, &hours.temperature_c, &hours.wind_m_s,
                    &hours.albedo})
        v->assign(hours_per_year, missing);
    hours.file_year.assign(hours_per_year, 0);
    hours.line.assign(hours_per_year, 0);
    auto const row_at = [&](int slot) -> RawRow const* {
        int const r = row_of_slot[static_cast<std::size_t>(slot % slots)];
        return r < 0 ? nullptr : &table.rows[static_cast<std::size_t>(r)];
    };
    // Weights of the records of an hour: equal for means; a trapezoid for readings at the start.
    std::vector<double> weight(static_cast<std::size_t>(per_hour), 1.0 / per_hour);
    if (table.instants) {
        weight.front() = 0.5 / per_hour;
        weight.push_back(0.5 / per_hour);
    }
    auto const mean = [&](int hour, double RawRow::*field) {
        double sum = 0;
        for (std::size_t k = 0; k < weight.size(); ++k) {
            RawRow const* row = row_at(hour * per_hour + static_cast<int>(k));
            if (row == nullptr) return missing;
            sum += weight[k] * row->*field;
        }
        return sum;
    };
    for (int hour = 0; hour < hours_per_year; ++hour) {
        auto const h = static_cast<std::size_t>(hour);
        if (RawRow const* first = row_at(hour * per_hour)) {
            hours.file_year[h] = first->year;
            hours.line[h] = first->line;
        }
        hours.ghi_w_m2[h] = mean(hour, &RawRow::ghi_w_m2);
        hours.dni_w_m2[h] = mean(hour, &RawRow::dni_w_m2);
        hours.dhi_w_m2[h] = mean(hour, &RawRow::dhi_w_m2);
        hours.albedo[h] = mean(hour, &RawRow::albedo);
        // Readings at the end or start of the hour stay readings here. Of several in an hour, the last or
        // first counts.
        if (table.readings_at_stamp && table.stamp != Stamp::middle) {
            RawRow const* reading = row_at(hour * per_hour + (table.stamp == Stamp::end ? per_hour - 1 : 0));
            hours.temperature_c[h] = reading ? reading->temperature_c : missing;
            hours.wind_m_s[h] = reading ? reading->wind_m_s : missing;
        } else {
            hours.temperature_c[h] = mean(hour, &RawRow::temperature_c);
            hours.wind_m_s[h] = mean(hour, &RawRow::wind_m_s);
        }
    }
    return hours;
}

WeatherYear assemble(RawTable&& table, ReadOptions const& options) {
    check_site(table);
    if (options.sun_year < 1900 || options.sun_year > 2200)
        throw WeatherError(table.path, 0, "the sun's year must be 1900 to 2200");
    HourTable hours = place_rows(table, options);
    SunYear const sun = sun_over_year(table.site, options.sun_year);
    // Before anything is filled in.
    ShiftTest const clock = test_clock(hours, sun);
    if (clock.tells()) table.clock_cure = cure_of(table, options, clock.best_shift_min);
    fill_hours(hours, sun, table, options);

    WeatherYear year;
    year.path = std::move(table.path);
    year.format = std::move(table.format);
    year.station = std::move(table.station);
    year.state = std::move(table.state);
    year.note = std::move(table.note);
    year.site = table.site;
    year.ghi_w_m2 = std::move(hours.ghi_w_m2);
    year.dni_w_m2 = std::move(hours.dni_w_m2);
    year.dhi_w_m2 = std::move(hours.dhi_w_m2);
    year.temperature_c = std::move(hours.temperature_c);
    year.wind_m_s = std::move(hours.wind_m_s);
    year.albedo = std::move(hours.albedo);
    year.file_year = std::move(hours.file_year);
    year.repairs = std::move(table.repairs);
    year.warnings = std::move(table.warnings);
    validate(year);
    add_warnings(year, check_quality(year, sun), clock, table.clock_cure);
    return year;
}

}  // namespace holdwater::weather
