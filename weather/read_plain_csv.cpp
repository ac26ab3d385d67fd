#include "weather/read_plain_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "weather/csv.hpp"
#include "weather/unit_conversion.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

bool is_comment(std::string_view line) {
    auto const text = trim(line);
    return !text.empty() && text.front() == '#';
}

/// A time of day as written in the file: minutes from 00:00 to 24:00, and its clock, if the file gives it.
struct ClockTime {
    int minute = 0;
    std::optional<double> utc_offset_h;
};

/// Takes pieces of text from the beginning.
struct ClockText {
    std::string_view rest;
    Place const& place;
    std::string_view whole;

    [[noreturn]] void refuse() const {
        throw WeatherError(
            place.file, place.line,
            fmt::format(
                "time \"{}\" is not understood; accepted are HH:MM, with seconds of 00, AM or PM, and Z, "
                "UTC or an offset such as +01:00 behind it",
                to_utf8(whole.substr(0, 40))));
    }
    bool take(char c) {
        if (rest.empty() || rest.front() != c) return false;
        rest.remove_prefix(1);
        return true;
    }
    bool take_word(std::string_view word) {
        if (lower(rest.substr(0, word.size())) != word) return false;
        rest.remove_prefix(word.size());
        return true;
    }
    /// From `least` to `most` digits.
    int digits(std::size_t least, std::size_t most, int highest, std::string_view what) {
        std::size_t n = 0;
        while (n < rest.size() && n < most && rest[n] >= '0' && rest[n] <= '9') ++n;
        if (n < least) refuse();
        int const value = whole_number(rest.substr(0, n), what, 0, highest, place);
        rest.remove_prefix(n);
        return value;
    }
};

/// "14:00", "14:00:00", "2:00 PM", "14:00Z", "14:00:00.000 +01:00".
ClockTime read_clock(std::string_view text, Place const& place) {
    ClockText t{trim(text), place, text};
    int hour = t.digits(1, 2, 24, "time, hour");
    if (!t.take(':')) t.refuse();
    ClockTime clock;
    int const minute = t.digits(2, 2, 59, "time, minute");
    if (t.take(':')) {
        if (t.digits(2, 2, 59, "time, second") != 0) t.refuse();
        if (t.take('.'))
            while (t.take('0')) {
            }
    }
    t.rest = trim(t.rest);
    for (bool const afternoon : {false, true})
        if (t.take_word(afternoon ? "pm" : "am") || t.take_word(afternoon ? "p.m." : "a.m.")) {
            if (hour < 1 || hour > 12) t.refuse();
            hour = hour % 12 + (afternoon ? 12 : 0);
            t.rest = trim(t.rest);
            break;
        }
    if (hour == 24 && minute != 0) t.refuse();
    clock.minute = 60 * hour + minute;
    if (t.take_word("z") || t.take_word("utc") || t.take_word("gmt")) clock.utc_offset_h = 0;
    if (!t.rest.empty() && (t.rest.front() == '+' || t.rest.front() == '-')) {
        double const sign = t.rest.front() == '-' ? -1 : 1;
        t.rest.remove_prefix(1);
        double offset_h = t.digits(1, 2, 14, "time, offset from UTC");
        t.take(':');
        if (!t.rest.empty()) offset_h += t.digits(2, 2, 59, "time, minutes of the offset from UTC") / 60.0;
        clock.utc_offset_h = sign * offset_h;
    }
    if (!t.rest.empty()) t.refuse();
    return clock;
}

/// "2021-01-31 14:00", also a T between.
ClockTime read_date_and_clock(RawRow& row, std::string_view text, Place const& place) {
    bool const apart = text.size() > 10 && (text[10] == ' ' || text[10] == 'T' || text[10] == 't');
    if (text.size() < 15 || text[4] != '-' || text[7] != '-' || !apart)
        throw WeatherError(
            place.file, place.line,
            fmt::format("time \"{}\"; YYYY-MM-DD HH:MM is expected", to_utf8(text.substr(0, 30))));
    row.year = whole_number(text.substr(0, 4), "time, year", 1, 9999, place);
    row.month = whole_number(text.substr(5, 2), "time, month", 1, 12, place);
    row.day = whole_number(text.substr(8, 2), "time, day", 1, 31, place);
    return read_clock(text.substr(11), place);
}

struct Source {
    int column = -1;
    std::string name;
    UnitConversion unit;
};

/// The rows after the header in line `header` (0-based), by the map.
void read_rows(std::vector<std::string_view> const& lines, std::size_t header, ColumnMap const& map,
               Needs needs, RawTable& table) {
    std::string const& path = table.path;
    std::vector<std::string_view> names, fields;
    split_fields(lines[header], map.separator, names);
    auto const place_of_header = header + 1;
    auto const need = [&](std::string const& name) {
        int const at = find_column(names, name);
        if (at < 0)
            throw WeatherError(path, place_of_header,
                               fmt::format("no column \"{}\" in the header row", name));
        return at;
    };
    if (map.time.empty() && (map.month.empty() || map.day.empty() || map.hour.empty()))
        throw WeatherError(path, place_of_header,
                           "no columns of time; time, or month, day and hour are needed");
    auto const optional = [&](std::string const& name) { return name.empty() ? -1 : need(name); };
    int const time = optional(map.time);
    int const year = optional(map.year), minute = optional(map.minute);
    int const month = time < 0 ? need(map.month) : -1, day = time < 0 ? need(map.day) : -1,
              hour = time < 0 ? need(map.hour) : -1;
    bool const has_light = map.ghi.used() || (map.dni.used() && map.dhi.used());
    if ((needs.light && !has_light) || (needs.temperature && !map.temperature.used()))
        throw WeatherError(path, place_of_header,
                           !needs.light         ? "the column needed is temperature"
                           : !needs.temperature ? "the columns needed are ghi, or dni with dhi"
                                                : "the columns needed are temperature and ghi, or dni with "
                                                  "dhi");

    auto const field = [&](int column) { return fields[static_cast<std::size_t>(column)]; };
    // Whether there are clocks other than local standard time: the first one, and whether there are several.
    std::optional<double> other_utc_offset_h;
    bool several_clocks = false;
    auto const to_local = [&](RawRow& row, ClockTime const& clock) {
        row.minute = clock.minute;
        if (!clock.utc_offset_h || *clock.utc_offset_h == table.site.utc_offset_h) return;
        several_clocks = several_clocks || (other_utc_offset_h && other_utc_offset_h != clock.utc_offset_h);
        if (!other_utc_offset_h) other_utc_offset_h = clock.utc_offset_h;
        row.minute += static_cast<int>(std::lround(60 * (table.site.utc_offset_h - *clock.utc_offset_h)));
    };
    auto const read_stamp = [&](RawRow& row, Place const& place) {
        if (time >= 0) return to_local(row, read_date_and_clock(row, field(time), place));
        row.year = year < 0 ? 0 : whole_number(field(year), map.year, 1, 9999, place);
        row.month = whole_number(field(month), map.month, 1, 12, place);
        row.day = whole_number(field(day), map.day, 1, 31, place);
        auto const clock = field(hour);
        if (clock.find(':') != std::string_view::npos)
            to_local(row, read_clock(clock, place));
        else
            row.minute = 60 * whole_number(clock, map.hour, 0, 24, place);
        if (minute >= 0) row.minute += whole_number(field(minute), map.minute, 0, 59, place);
    };
    auto const split_row = [&](std::size_t i) {
        split_fields(lines[i], map.separator, fields);
        if (fields.size() < names.size())
            throw WeatherError(path, i + 1,
                               fmt::format("{} fields where the header in line {} has {}; is the file cut "
                                           "off, or the separator not \"{}\"?",
                                           fields.size(), place_of_header, names.size(), map.separator));
    };

    table.interval_min = map.interval_min;
    if (table.interval_min == 0) {
        if (lines.size() < header + 3) throw WeatherError(path, 0, "no data rows; 8760 hours are needed");
        RawRow row[2] = {};
        for (std::size_t k = 0; k < 2; ++k) {
            split_row(header + 1 + k);
            read_stamp(row[k], {path, header + 2 + k});
        }
        table.interval_min = row[1].day != row[0].day || row[1].month != row[0].month
                                 ? row[1].minute - row[0].minute + 1440
                                 : row[1].minute - row[0].minute;
    }
    if (table.interval_min <= 0 || table.interval_min > 60 || 60 % table.interval_min != 0)
        throw WeatherError(
            path, header + 3,
            fmt::format("the interval of the rows is {} minutes; 60 or an even part of it is expected",
                        table.interval_min));

    auto const source = [&](Column const& column, auto convert) {
        Source s;
        if (!column.used()) return s;
        s.column = need(column.name);
        s.name = column.name;
        try {
            s.unit = convert(column.unit);
        } catch (std::invalid_argument const& bad) {
            throw WeatherError(
                path, place_of_header,
                fmt::format("column {}: {}", to_utf8(column.name.substr(0, 40)), to_utf8(bad.what())));
        }
        return s;
    };
    auto const light = [&](std::string const& unit) { return to_irradiance(unit, table.interval_min); };
    auto const to = [](char const* target) {
        return [target](std::string const& unit) { return to_unit(unit, target); };
    };
    Source const ghi = source(map.ghi, light), dni = source(map.dni, light), dhi = source(map.dhi, light);
    Source const temperature = source(map.temperature, to("degC")), wind = source(map.wind, to("m/s")),
                 albedo = source(map.albedo, to("1"));

    table.stamp = map.stamp;
    table.readings_at_stamp = map.temperature_at_stamp;
    table.albedo_column = map.albedo.used();
    table.rows.reserve(lines.size());
    for (std::size_t i = header + 1; i < lines.size(); ++i) {
        if (is_comment(lines[i])) continue;
        Place const place{path, i + 1};
        split_row(i);
        auto const value = [&](Source const& s) {
            if (s.column < 0) return missing;
            double const v = number(field(s.column), s.name, place);
            if (std::find(map.missing_codes.begin(), map.missing_codes.end(), v) != map.missing_codes.end())
                return missing;
            return s.unit.factor * v + s.unit.offset;
        };
        RawRow row{};
        row.line = i + 1;
        read_stamp(row, place);
        row.ghi_w_m2 = value(ghi);
        row.dni_w_m2 = value(dni);
        row.dhi_w_m2 = value(dhi);
        row.temperature_c = value(temperature);
        row.wind_m_s = value(wind);
        row.albedo = value(albedo);
        table.rows.push_back(row);
    }
    if (other_utc_offset_h) {
        table.other_clock = true;
        table.moved_stamps =
            fmt::format("stamps are at UTC{:+g}{} and were moved to local standard time UTC{:+g}",
                        *other_utc_offset_h, several_clocks ? " and others" : "", table.site.utc_offset_h);
    }
}

}  // namespace

bool looks_like_plain_csv(std::vector<std::string_view> const& lines) {
    std::size_t at = 0;
    while (at < lines.size() && (is_comment(lines[at]) || trim(lines[at]).empty())) ++at;
    for (std::size_t i = at; i < lines.size() && i < at + 10; ++i)
        if (lower(lines[i].substr(0, 13)) == "latitude_deg,") return true;
    return false;
}

RawTable read_plain_csv(std::vector<std::string_view> const& lines, std::string const& path, Needs needs) {
    RawTable table;
    table.path = path;
    table.format = "plain CSV";
    ColumnMap map;
    bool known[4] = {};
    std::vector<std::string_view> fields;
    std::size_t header = 0;
    for (;; ++header) {
        if (header >= lines.size()) throw WeatherError(path, 0, "no header row with the column names");
        auto const line = trim(lines[header]);
        if (line.empty()) continue;
        if (is_comment(line)) {
            if (!table.note.empty()) table.note += '\n';
            table.note += to_utf8(trim(line.substr(1)));
            continue;
        }
        split_fields(line, ',', fields);
        if (fields.size() > 2) break;
        auto const key = lower(fields[0]);
        Place const place{path, header + 1};
        auto const value = fields.size() > 1 ? fields[1] : std::string_view{};
        if (key == "station")
            table.station = to_utf8(value);
        else if (key == "state")
            table.state = to_utf8(value);
        else if (key == "latitude_deg")
            table.site.latitude_deg = number(value, key, place), known[0] = true;
        else if (key == "longitude_deg")
            table.site.longitude_deg = number(value, key, place), known[1] = true;
        else if (key == "elevation_m")
            table.site.elevation_m = number(value, key, place), known[2] = true;
        else if (key == "utc_offset_h")
            table.site.utc_offset_h = number(value, key, place), known[3] = true;
        else if (key == "interval_min")
            map.interval_min = whole_number(value, key, 1, 60, place);
        else if (key == "stamp" &&
                 (value == "start" || value == "middle" || value == "center" || value == "end"))
            map.stamp = value == "start" ? Stamp::start : value == "end" ? Stamp::end : Stamp::middle;
        else
            throw WeatherError(
                path, header + 1,
                fmt::format("\"{}\" is not a site line; station, state, latitude_deg, longitude_deg, "
                            "elevation_m, utc_offset_h, "
                            "interval_min and stamp (start, middle or end) are",
                            to_utf8(line.substr(0, 40))));
    }
    for (std::size_t i = 0; i < 4; ++i)
        if (!known[i]) {
            constexpr char const* keys[] = {"latitude_deg", "longitude_deg", "elevation_m", "utc_offset_h"};
            throw WeatherError(path, header + 1,
                               fmt::format("no line \"{},...\" before the header row", keys[i]));
        }
    for (auto const& field : fields) {
        auto const open = field.find('['), close = field.find(']');
        auto const name = lower(trim(field.substr(0, open)));
        std::string const unit(open != std::string_view::npos && close != std::string_view::npos &&
                                       close > open
                                   ? trim(field.substr(open + 1, close - open - 1))
                                   : std::string_view{});
        struct Known {
            char const* name = nullptr;
            Column* column = nullptr;
        };
        bool found = false;
        for (auto const& [expected, column] :
             {Known{"ghi", &map.ghi}, Known{"dni", &map.dni}, Known{"dhi", &map.dhi},
              Known{"temperature", &map.temperature}, Known{"wind", &map.wind}, Known{"albedo", &map.albedo}})
            if (name == expected) {
                if (unit.empty())
                    throw WeatherError(
                        path, header + 1,
                        fmt::format("column {} has no unit; write it behind the name, as in \"ghi [W/m2]\"",
                                    name));
                *column = {name, unit};
                found = true;
            }
        for (auto const& [expected, target] :
             {std::pair{"time", &map.time}, std::pair{"year", &map.year}, std::pair{"month", &map.month},
              std::pair{"day", &map.day}, std::pair{"hour", &map.hour}, std::pair{"minute", &map.minute}})
            if (name == expected) {
                *target = name;
                found = true;
            }
        if (!found && !name.empty())
            table.warnings.push_back(fmt::format("column \"{}\" is not used", to_utf8(field.substr(0, 40))));
    }
    read_rows(lines, header, map, needs, table);
    return table;
}

RawTable read_mapped_csv(std::vector<std::string_view> const& lines, std::string const& path,
                         ColumnMap const& map, Needs needs) {
    RawTable table;
    table.path = path;
    table.format = "plain CSV";
    table.station = map.station;
    table.site = map.site;
    std::string const& first_needed = map.time.empty() ? map.month : map.time;
    std::vector<std::string_view> fields;
    for (std::size_t i = 0; i < lines.size() && i < 100; ++i) {
        if (is_comment(lines[i])) {
            if (!table.note.empty()) table.note += '\n';
            table.note += to_utf8(trim(trim(lines[i]).substr(1)));
            continue;
        }
        split_fields(lines[i], map.separator, fields);
        if (find_column(fields, first_needed) < 0) continue;
        read_rows(lines, i, map, needs, table);
        return table;
    }
    throw WeatherError(
        path, 0,
        fmt::format("no header row with a column \"{}\" in the first 100 lines (separator \"{}\")",
                    first_needed, map.separator));
}

}  // namespace holdwater::weather
