// libFuzzer target: any bytes through the content detector and every reader. A file may be refused with
// WeatherError and nothing else; a year that comes back must be valid. The first byte picks the options.
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_year.hpp"

using namespace holdwater::weather;

extern "C" int LLVMFuzzerTestOneInput(std::uint8_t const* data, std::size_t size) {
    if (size == 0) return 0;
    ReadOptions options;
    options.allow_long_gaps = (data[0] & 1) != 0;
    if ((data[0] & 2) != 0) {
        ColumnMap map;
        map.site = {40, -105, 1600, -7};
        map.time = (data[0] & 4) != 0 ? "time" : "";
        map.month = "month", map.day = "day", map.hour = "hour";
        map.ghi = {"ghi", "W/m2"};
        map.temperature = {"temperature", "degC"};
        map.stamp = (data[0] & 8) != 0 ? Stamp::end : Stamp::centre;
        map.temperature_at_stamp = true;
        options.columns = map;
    }
    std::string_view const text(reinterpret_cast<char const*>(data + 1), size - 1);
    std::optional<WeatherYear> year;
    try {
        year = read_weather_text(text, "fuzz", options);
    } catch (WeatherError const&) {
    }
    if (year) validate(*year);
    return 0;
}
