#include "weather/read_epw.hpp"

#include <fmt/format.h>

#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

bool looks_like_epw(std::vector<std::string_view> const& lines) {
    return !lines.empty() && lower(lines[0].substr(0, 9)) == "location,";
}

RawTable read_epw(std::vector<std::string_view> const& lines, std::string const& path) {
    RawTable table;
    table.path = path;
    table.format = "EPW";
    table.readings_at_stamp = true;
    std::vector<std::string_view> fields;
    split_fields(lines[0], ',', fields);
    if (fields.size() < 10)
        throw WeatherError(
            path, 1,
            fmt::format("LOCATION has {} fields; city, state, country, source, station, latitude, "
                        "longitude, UTC offset and elevation are expected",
                        fields.size() - 1));
    table.station = to_utf8(fmt::format("{} {} {} {}", fields[5], fields[1], fields[2], fields[3]));
    bool const named = !fields[2].empty() && fields[2] != "-";
    table.state = to_utf8(named ? fields[2] : fields[3]);
    Place const first{path, 1};
    table.site = {number(fields[6], "latitude", first), number(fields[7], "longitude", first),
                  number(fields[9], "elevation", first), number(fields[8], "UTC offset", first)};

    std::size_t data = 0;
    int per_hour = 1;
    for (std::size_t i = 1; i < lines.size() && i < 40 && data == 0; ++i) {
        split_fields(lines[i], ',', fields);
        auto const key = lower(fields[0]);
        if (key.starts_with("comments")) {
            if (!table.note.empty()) table.note += '\n';
            table.note += to_utf8(trim(lines[i].substr(
                fields[0].size() < lines[i].size() ? fields[0].size() + 1 : lines[i].size())));
        } else if (key == "data periods") {
            if (fields.size() > 2)
                per_hour = whole_number(fields[2], "records per hour", 1, 60, {path, i + 1});
            data = i + 1;
        }
    }
    if (data == 0) throw WeatherError(path, 0, "no DATA PERIODS line among the headers");
    if (60 % per_hour != 0)
        throw WeatherError(path, data, fmt::format("{} records an hour do not divide it evenly", per_hour));
    table.interval_min = 60 / per_hour;

    table.rows.reserve(lines.size());
    for (std::size_t i = data; i < lines.size(); ++i) {
        Place const place{path, i + 1};
        split_fields(lines[i], ',', fields);
        if (fields.size() < 22)
            throw WeatherError(
                path, i + 1,
                fmt::format("{} fields where 35 are expected; is the file cut off?", fields.size()));
        auto const value = [&](std::size_t one_based, std::string_view name, double missing_from) {
            double const v = number(fields[one_based - 1], name, place);
            return v >= missing_from || v <= -9900 ? missing : v;
        };
        RawRow row{};
        row.line = i + 1;
        row.year = whole_number(fields[0], "year", 1, 9999, place);
        row.month = whole_number(fields[1], "month", 1, 12, place);
        row.day = whole_number(fields[2], "day", 1, 31, place);
        int const hour = whole_number(fields[3], "hour", 1, 24, place);
        // The minute is 0 or 60 in hourly files and says nothing there.
        int const minute = per_hour == 1 ? 60 : whole_number(fields[4], "minute", 0, 60, place);
        row.minute = (hour - 1) * 60 + (minute == 0 ? 60 : minute);
        row.temperature_c = value(7, "dry bulb", 99.9);
        row.ghi_w_m2 = value(14, "global horizontal", 9999);
        row.dni_w_m2 = value(15, "direct normal", 9999);
        row.dhi_w_m2 = value(16, "diffuse horizontal", 9999);
        row.wind_m_s = value(22, "wind speed", 999);
        row.albedo = fields.size() >= 33 ? value(33, "albedo", 1.001) : missing;
        table.albedo_column = table.albedo_column || fields.size() >= 33;
        table.rows.push_back(row);
    }
    return table;
}

}  // namespace holdwater::weather
