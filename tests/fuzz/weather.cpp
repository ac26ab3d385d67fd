#include <array>
#include <optional>
#include <string>
#include <utility>

#include "tests/fuzz/targets.hpp"
#include "tests/fuzz/whole_years.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_year.hpp"

using namespace holdwater::weather;

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
    using enum DateFields;
    constexpr std::array<std::pair<DateFields, int>, 4> formats{
        {{month_day, 1981}, {year_month_day, 1981}, {year_month_day, 2021}, {us_date, 1981}}};
    if ((choice & 16) != 0) {
        auto const [fields, year] = formats[choice >> 6];
        text = whole_years(text, fields, year);
    }
    std::optional<WeatherYear> year;
    try {
        year = read_weather_text(text, "fuzz", options);
    } catch (WeatherError const&) {
    }
    if (year) validate(*year);
}
