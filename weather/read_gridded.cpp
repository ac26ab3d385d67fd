#include "weather/read_gridded.hpp"

#include <fmt/format.h>

#include <cmath>

#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

bool looks_like_gridded(std::vector<std::string_view> const& lines) {
    if (lines.size() < 3) return false;
    auto const first = lower(lines[0]);
    return first.find("latitude") != std::string::npos && first.find("time zone") != std::string::npos &&
           lower(lines[2].substr(0, 10)) == "year,month";
}

RawTable read_gridded(std::vector<std::string_view> const& lines, std::string const& path, bool stamp_given,
                      Needs needs) {
    RawTable table;
    table.path = path;
    table.format = "gridded CSV";
    std::vector<std::string_view> names, fields;
    split_fields(lines[0], ',', names);
    split_fields(lines[1], ',', fields);
    auto const text = [&](std::string_view name) {
        int const at = find_column(names, name);
        return at < 0 || static_cast<std::size_t>(at) >= fields.size() ? std::string_view{}
                                                                       : fields[static_cast<std::size_t>(at)];
    };
    auto const site_number = [&](std::string_view name) {
        double const v = number(text(name), name, {path, 2});
        if (std::isnan(v))
            throw WeatherError(path, 2, fmt::format("no value for \"{}\" in the site data", name));
        return v;
    };
    double const stamps_utc_h = site_number("Time Zone");
    table.site = {site_number("Latitude"), site_number("Longitude"), site_number("Elevation"), stamps_utc_h};
    table.station = to_utf8(fmt::format("{} {}", text("Source"), text("Location ID")));
    for (auto name : {"City", "State", "Country"})
        if (auto const word = text(name); !word.empty() && word != "-") table.station += " " + to_utf8(word);
    for (auto name : {"State", "Country"})
        if (auto const word = text(name); table.state.empty() && !word.empty() && word != "-")
            table.state = to_utf8(word);
    double const local_utc_h = number(text("Local Time Zone"), "Local Time Zone", {path, 2});
    if (std::isfinite(local_utc_h) && std::abs(local_utc_h) <= 14 && std::abs(stamps_utc_h) <= 14 &&
        local_utc_h != stamps_utc_h) {
        table.hours_to_local = static_cast<int>(std::floor(local_utc_h - stamps_utc_h));
        table.site.utc_offset_h = stamps_utc_h + table.hours_to_local;
        table.moved_stamps = fmt::format(
            "stamps are at UTC{:+g} and were moved to local standard time UTC{:+g}{}", stamps_utc_h,
            table.site.utc_offset_h,
            table.site.utc_offset_h != local_utc_h ? fmt::format(" (whole hours only, of {:+g})", local_utc_h)
                                                   : "");
    }
    auto const check_unit = [&](std::string_view name, std::string_view accepted) {
        auto const unit = lower(text(name));
        if (!unit.empty() && unit != accepted)
            throw WeatherError(
                path, 2, fmt::format("{} is \"{}\"; \"{}\" is expected", name, to_utf8(unit), accepted));
    };
    check_unit("GHI Units", "w/m2");
    check_unit("DNI Units", "w/m2");
    check_unit("DHI Units", "w/m2");
    check_unit("Temperature Units", "c");
    check_unit("Wind Speed", "m/s");

    split_fields(lines[2], ',', names);
    auto const need = [&](std::string_view name) {
        int const at = find_column(names, name);
        if (at < 0) throw WeatherError(path, 3, fmt::format("no column \"{}\" among the names", name));
        return static_cast<std::size_t>(at);
    };
    auto const year = need("Year"), month = need("Month"), day = need("Day"), hour = need("Hour"),
               minute = need("Minute");
    int const ghi = needs.light ? static_cast<int>(need("GHI")) : find_column(names, "GHI");
    int const temperature =
        needs.temperature ? static_cast<int>(need("Temperature")) : find_column(names, "Temperature");
    int const dni = find_column(names, "DNI"), dhi = find_column(names, "DHI");
    int const wind = find_column(names, "Wind Speed"), albedo = find_column(names, "Surface Albedo");
    table.albedo_column = albedo >= 0;

    // The interval is that of the first two records; its offset from the full hour is that of the first
    // record.
    int first_minute[2] = {0, 60};
    table.rows.reserve(lines.size());
    for (std::size_t i = 3; i < lines.size(); ++i) {
        Place const place{path, i + 1};
        split_fields(lines[i], ',', fields);
        // There may be a separator after the last field.
        if (fields.size() < names.size() && !(fields.size() + 1 == names.size() && names.back().empty()))
            throw WeatherError(path, i + 1,
                               fmt::format("{} fields where the names in line 3 are {}; is the file cut off?",
                                           fields.size(), names.size()));
        auto const value = [&](int column, std::string_view name) {
            if (column < 0) return missing;
            double const v = number(fields[static_cast<std::size_t>(column)], name, place);
            return v <= -999 ? missing : v;
        };
        RawRow row{};
        row.line = i + 1;
        row.year = whole_number(fields[year], "Year", 1, 9999, place);
        row.month = whole_number(fields[month], "Month", 1, 12, place);
        row.day = whole_number(fields[day], "Day", 1, 31, place);
        row.minute = whole_number(fields[hour], "Hour", 0, 23, place) * 60 +
                     whole_number(fields[minute], "Minute", 0, 59, place);
        if (i < 5) first_minute[i - 3] = row.minute;
        row.ghi_w_m2 = value(ghi, "GHI");
        row.dni_w_m2 = value(dni, "DNI");
        row.dhi_w_m2 = value(dhi, "DHI");
        row.temperature_c = value(temperature, "Temperature");
        row.wind_m_s = value(wind, "Wind Speed");
        row.albedo = value(albedo, "Surface Albedo");
        table.rows.push_back(row);
    }
    int const interval = first_minute[1] - first_minute[0];
    if (interval <= 0 || interval > 60 || 60 % interval != 0)
        throw WeatherError(
            path, 5,
            fmt::format("the first two records are {} minutes apart; 60 or an even part of it is expected",
                        interval));
    table.interval_min = interval;
    int const phase = first_minute[0] % interval;
    table.stamp = phase == 0 ? Stamp::start : Stamp::middle;
    if (stamp_given) return table;
    if (phase == 0) {
        table.instants = true;
        table.warnings.push_back(
            "values hold at the stamp, on the hour; each hour is the trapezoid over the records in it and "
            "the next one. If they are means, say of what: stamp = \"start\", \"middle\" or \"end\" in "
            "[weather]");
    } else if (2 * phase != interval) {
        throw WeatherError(path, 4,
                           fmt::format("records lie {} minutes after the start of their {} min interval; its "
                                       "start or middle is expected, or what the stamps mean: stamp = "
                                       "\"start\", \"middle\" or \"end\" in [weather]",
                                       phase, interval));
    }
    return table;
}

}  // namespace holdwater::weather
