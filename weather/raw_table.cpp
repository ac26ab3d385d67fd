#include "weather/raw_table.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "weather/hour_table.hpp"
#include "weather/quality.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

constexpr int minutes_per_year = hours_per_year * 60;

/// The date again after its minutes were brought into 0 .. 1439.
void normalise(RawRow& row, bool file_has_29_february) {
    int const shown_year = row.year > 0 ? row.year : file_has_29_february ? 2024 : 2023;
    auto day = date::sys_days{date::year{shown_year} / row.month / row.day};
    while (row.start_min < 0) day -= date::days{1}, row.start_min += 1440;
    while (row.start_min >= 1440) day += date::days{1}, row.start_min -= 1440;
    date::year_month_day const ymd{day};
    row.month = static_cast<int>(static_cast<unsigned>(ymd.month()));
    row.day = static_cast<int>(static_cast<unsigned>(ymd.day()));
    if (row.month == 2 && row.day == 29 && !file_has_29_february) row.day = 28;
    // Stepping into the year before or after keeps the row in its own year's table.
}

void check_site(RawTable const& table) {
    auto const check = [&](double value, char const* name, double low, double high, char const* hint) {
        if (!(value >= low && value <= high))
            throw WeatherError(
                table.path, 0,
                fmt::format("{} = {}; {} to {} are accepted ({})", name, value, low, high, hint));
    };
    check(table.site.latitude_deg, "latitude", -90, 90, "north positive");
    check(table.site.longitude_deg, "longitude", -180, 180, "east positive");
    check(table.site.elevation_m, "elevation", -450, 9000, "metres above sea level");
    check(table.site.utc_offset_h, "UTC offset", -12, 14, "hours, west negative");
}

}  // namespace

HourTable place_rows(RawTable& table) {
    if (table.rows.empty()) throw WeatherError(table.path, 0, "no data rows; 8760 hours are needed");
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
        if (row.start_min < 0 || row.start_min >= 1440) normalise(row, has_29_february);
        if (row.month == 2 && row.day == 29) {
            ++dropped;
            continue;
        }
        int minute = hour_index(row.month, row.day, 0) * 60 + row.start_min;
        if (minute < previous && back_steps++ == 0) first_back = minute / 60;
        previous = minute;
        minute =
            (minute + table.hours_to_local * 60 % minutes_per_year + minutes_per_year) % minutes_per_year;
        if (minute % table.interval_min != 0)
            throw WeatherError(
                table.path, row.line,
                fmt::format("the stamp is off the {} min grid of the file", table.interval_min));
        auto& slot = row_of_slot[static_cast<std::size_t>(minute / table.interval_min)];
        if (slot >= 0)
            throw WeatherError(
                table.path, row.line,
                fmt::format("the same hour as line {}; a year in local standard time (no daylight "
                            "saving) has each once",
                            table.rows[static_cast<std::size_t>(slot)].line));
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
    // Weights of the records of an hour: equal for means, a trapezoid for instants at the start.
    std::vector<double> weight(static_cast<std::size_t>(per_hour), 1.0 / per_hour);
    if (table.instants_at_start) {
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
        // Readings at the interval's end stay readings here; for several an hour the last one counts.
        if (table.readings_at_end) {
            RawRow const* last = row_at(hour * per_hour + per_hour - 1);
            hours.temperature_c[h] = last ? last->temperature_c : missing;
            hours.wind_m_s[h] = last ? last->wind_m_s : missing;
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
    HourTable hours = place_rows(table);
    SunYear const sun = sun_over_year(table.site, options.sun_year);
    // Before anything is filled in, the file's own three components tell whether its clock is right.
    ShiftTest const shift =
        closure_shift_test(hours, sun, {-60, -50, -40, -30, -20, -10, 10, 20, 30, 40, 50, 60});
    fill_hours(hours, sun, table, options);

    WeatherYear year;
    year.path = std::move(table.path);
    year.format = std::move(table.format);
    year.station = std::move(table.station);
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
    add_warnings(year, check_quality(year, sun), shift);
    return year;
}

}  // namespace holdwater::weather
