#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>

#include "tests/fuzz/targets.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_year.hpp"

using namespace holdwater::weather;

namespace {

// Makes a year from the last 24 lines, which are one day: every line is used once for each day of the year,
// with its first fields replaced by the date in one of the formats.
std::string whole_year(std::string_view text, int format) {
    std::vector<std::string_view> lines;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t const end = std::min(text.find('\n', at), text.size());
        lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    std::size_t const head = lines.size() - std::min<std::size_t>(lines.size(), 24);
    constexpr int fields[] = {2, 3, 3, 1};
    std::string year;
    for (std::size_t i = 0; i < head; ++i) year.append(lines[i]) += '\n';
    for (int day = 0; day < 365; ++day) {
        auto const at = calendar_hour(24 * day);
        std::string const date = format == 0   ? fmt::format("{},{}", at.month, at.day)
                                 : format == 1 ? fmt::format("1981,{},{}", at.month, at.day)
                                 : format == 2 ? fmt::format("2021,{},{}", at.month, at.day)
                                               : fmt::format("{:02}/{:02}/1981", at.month, at.day);
        for (std::size_t i = head; i < lines.size(); ++i) {
            std::size_t from = 0;
            for (int k = 0; k < fields[format] && from != std::string_view::npos; ++k)
                from = lines[i].find(',', k == 0 ? 0 : from + 1);
            year += date;
            if (from != std::string_view::npos) year.append(lines[i].substr(from));
            year += '\n';
        }
    }
    return year;
}

}  // namespace

// Goes through the recognition of formats and every reader. A file may be refused with WeatherError and
// nothing else; a year that is returned must be valid. First byte: long gaps, a column map and how it is
// read, whole year and its format.
void holdwater::fuzz::weather(std::string_view bytes) {
    if (bytes.empty()) return;
    auto const choice = static_cast<unsigned char>(bytes[0]);
    ReadOptions options;
    options.allow_long_gaps = (choice & 1) != 0;
    if ((choice & 2) != 0) {
        ColumnMap map;
        map.site = {40, -105, 1600, -7};
        map.time = (choice & 4) != 0 ? "time" : "";
        map.month = "month", map.day = "day", map.hour = "hour";
        map.ghi = {"ghi", "W/m2"};
        map.temperature = {"temperature", "degC"};
        map.stamp = (choice & 8) != 0 ? Stamp::end : Stamp::middle;
        map.temperature_at_stamp = true;
        options.columns = map;
    }
    std::string text(bytes.substr(1));
    if ((choice & 16) != 0) text = whole_year(text, choice >> 6);
    std::optional<WeatherYear> year;
    try {
        year = read_weather_text(text, "fuzz", options);
    } catch (WeatherError const&) {
    }
    if (year) validate(*year);
}
