#include "weather/read_tmy3.hpp"

#include <fmt/format.h>

#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

double value(std::vector<std::string_view> const& fields, int column, std::string_view name,
             Place const& place) {
    if (column < 0) return missing;
    double const v = number(fields[static_cast<std::size_t>(column)], name, place);
    return v <= -9900 ? missing : v;
}

}  // namespace

bool looks_like_tmy3(std::vector<std::string_view> const& lines) {
    if (lines.size() < 2) return false;
    auto const names = lower(lines[1]);
    return names.find("date (mm/dd/yyyy)") != std::string::npos &&
           names.find("time (hh:mm)") != std::string::npos;
}

RawTable read_tmy3(std::vector<std::string_view> const& lines, std::string const& path) {
    RawTable table;
    table.path = path;
    table.format = "TMY3";
    table.readings_at_stamp = true;
    std::vector<std::string_view> fields;
    split_fields(lines[0], ',', fields);
    if (fields.size() < 7)
        throw WeatherError(
            path, 1,
            fmt::format("the site line has {} fields; station, name, state, UTC offset, latitude, "
                        "longitude, elevation are expected",
                        fields.size()));
    table.station = to_utf8(fmt::format("{} {} {}", fields[0], fields[1], fields[2]));
    table.state = to_utf8(fields[2]);
    Place const first{path, 1};
    table.site = {number(fields[4], "latitude", first), number(fields[5], "longitude", first),
                  number(fields[6], "elevation", first), number(fields[3], "UTC offset", first)};

    split_fields(lines[1], ',', fields);
    auto const names = fields;
    auto const need = [&](std::string_view name) {
        int const at = find_column(names, name);
        if (at < 0) throw WeatherError(path, 2, fmt::format("no column \"{}\" among the names", name));
        return at;
    };
    int const date = need("Date (MM/DD/YYYY)"), time = need("Time (HH:MM)");
    int const ghi = need("GHI"), temperature = need("Dry-bulb");
    int const dni = find_column(names, "DNI"), dhi = find_column(names, "DHI");
    int const wind = find_column(names, "Wspd");
    int const albedo = find_column(names, "Alb"), albedo_source = find_column(names, "Alb source");
    table.albedo_column = albedo >= 0;

    table.rows.reserve(lines.size());
    for (std::size_t i = 2; i < lines.size(); ++i) {
        Place const place{path, i + 1};
        split_fields(lines[i], ',', fields);
        if (fields.size() < names.size())
            throw WeatherError(path, i + 1,
                               fmt::format("{} fields where the names in line 2 are {}; is the file cut off?",
                                           fields.size(), names.size()));
        RawRow row{};
        row.line = i + 1;
        auto const day = fields[static_cast<std::size_t>(date)],
                   clock = fields[static_cast<std::size_t>(time)];
        if (day.size() != 10 || day[2] != '/' || day[5] != '/' || clock.size() != 5 || clock[2] != ':')
            throw WeatherError(path, i + 1,
                               fmt::format("stamp \"{} {}\"; MM/DD/YYYY and HH:MM are expected",
                                           to_utf8(day.substr(0, 20)), to_utf8(clock.substr(0, 20))));
        row.month = whole_number(day.substr(0, 2), "date, month", 1, 12, place);
        row.day = whole_number(day.substr(3, 2), "date, day", 1, 31, place);
        row.year = whole_number(day.substr(6, 4), "date, year", 1, 9999, place);
        int const hour = whole_number(clock.substr(0, 2), "time, hour", 0, 24, place);
        int const minute = whole_number(clock.substr(3, 2), "time, minute", 0, 59, place);
        row.minute = hour * 60 + minute;
        row.ghi_w_m2 = value(fields, ghi, "GHI", place);
        row.dni_w_m2 = value(fields, dni, "DNI", place);
        row.dhi_w_m2 = value(fields, dhi, "DHI", place);
        row.temperature_c = value(fields, temperature, "Dry-bulb", place);
        row.wind_m_s = value(fields, wind, "Wspd", place);
        // Source "?" means that nothing was known; the number beside it is a filler.
        bool const known = albedo_source < 0 || fields[static_cast<std::size_t>(albedo_source)] != "?";
        row.albedo = known ? value(fields, albedo, "Alb", place) : missing;
        table.rows.push_back(row);
    }
    return table;
}

}  // namespace holdwater::weather
