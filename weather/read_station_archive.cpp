#include "weather/read_station_archive.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

constexpr std::string_view first_columns = "yyyy-mm-dd,hh:mm (lst)";

/// The station number of six digits at the beginning of a text; empty where there is none.
std::string station_number(std::string const& text) {
    auto const digits = std::find_if_not(text.begin(), text.end(),
                                         [](char c) { return std::isdigit(static_cast<unsigned char>(c)); });
    return digits - text.begin() == 6 ? text.substr(0, 6) : "";
}

std::string column_prefix(LightModel model) {
    return model == LightModel::metstat ? "METSTAT" : model == LightModel::measured ? "Meas" : "SUNY";
}

void read_stamp(RawRow& row, std::string_view date, std::string_view clock, Place const& place) {
    auto const colon = clock.find(':');
    if (date.size() != 10 || date[4] != '-' || date[7] != '-' || (colon != 1 && colon != 2) ||
        clock.size() != colon + 3)
        throw WeatherError(place.file, place.line,
                           fmt::format("stamp \"{} {}\"; YYYY-MM-DD and HH:MM are expected",
                                       to_utf8(date.substr(0, 20)), to_utf8(clock.substr(0, 20))));
    row.year = whole_number(date.substr(0, 4), "date, year", 1, 9999, place);
    row.month = whole_number(date.substr(5, 2), "date, month", 1, 12, place);
    row.day = whole_number(date.substr(8, 2), "date, day", 1, 31, place);
    int const hour = whole_number(clock.substr(0, colon), "time, hour", 0, 24, place);
    row.minute = 60 * hour + whole_number(clock.substr(colon + 1), "time, minute", 0, 59, place);
}

}  // namespace

bool looks_like_station_archive(std::vector<std::string_view> const& lines) {
    return !lines.empty() && lower(lines[0].substr(0, first_columns.size())) == first_columns;
}

RawTable read_station_archive(std::vector<std::string_view> const& lines, std::string const& path,
                              LightModel model, SecondRecord const* second) {
    if (second == nullptr)
        throw WeatherError(
            path, 0,
            "files of the national station archive name no place and hold no temperature or wind; a second "
            "file of the same station gives them, for example its typical year: temperature_file in "
            "[weather], or --temperature-file");
    RawTable table;
    table.path = path;
    table.format = "station archive CSV";
    table.site = second->site;
    table.station = second->station;
    auto const number_in_name = station_number(std::filesystem::path(path).filename().string()),
               number_of_second = station_number(second->station);
    if (!number_in_name.empty() && !number_of_second.empty() && number_in_name != number_of_second)
        table.warnings.push_back(
            fmt::format("the file's name says station {}, the place is that of station {} ({}); are they the "
                        "same?",
                        number_in_name, number_of_second, second->path));
    if (model == LightModel::own)
        table.warnings.push_back(
            "the file holds several irradiance models; SUNY is used, because no model was chosen");

    std::vector<std::string_view> names, fields;
    split_fields(lines[0], ',', names);
    auto const need = [&](std::string const& name) {
        int const at = find_column(names, name);
        if (at < 0) throw WeatherError(path, 1, fmt::format("no column \"{}\" among the names", name));
        return static_cast<std::size_t>(at);
    };
    auto const prefix = column_prefix(model);
    auto const ghi = need(prefix + " Glo"), dni = need(prefix + " Dir"), dhi = need(prefix + " Dif");
    int const albedo = find_column(names, "Albedo");
    table.albedo_column = albedo >= 0;

    table.rows.reserve(lines.size());
    for (std::size_t i = 1; i < lines.size(); ++i) {
        Place const place{path, i + 1};
        split_fields(lines[i], ',', fields);
        if (fields.size() < names.size())
            throw WeatherError(path, i + 1,
                               fmt::format("{} fields where the names in line 1 are {}; is the file cut off?",
                                           fields.size(), names.size()));
        auto const value = [&](std::size_t column) {
            double const v = number(fields[column], names[column], place);
            return v <= -9900 ? missing : v;
        };
        RawRow row{};
        row.line = i + 1;
        read_stamp(row, fields[0], fields[1], place);
        row.ghi_w_m2 = value(ghi);
        row.dni_w_m2 = value(dni);
        row.dhi_w_m2 = value(dhi);
        row.temperature_c = row.wind_m_s = missing;
        row.albedo = albedo < 0 ? missing : value(static_cast<std::size_t>(albedo));
        table.rows.push_back(row);
    }
    return table;
}

}  // namespace holdwater::weather
