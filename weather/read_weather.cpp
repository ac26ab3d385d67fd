#include "weather/read_weather.hpp"

#include "weather/raw_table.hpp"
#include "weather/read_raw_table.hpp"

namespace holdwater::weather {

WeatherYear read_weather_text(std::string_view text, std::string const& name, ReadOptions const& options) {
    return assemble(read_raw_table(text, name, options, needs_of(options)), options);
}

WeatherYear read_weather(std::string const& path, ReadOptions const& options) {
    return read_weather_text(text_of_weather_file(path), path, options);
}

}  // namespace holdwater::weather
