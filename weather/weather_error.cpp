#include "weather/weather_error.hpp"

#include <fmt/format.h>

namespace holdwater::weather {

WeatherError::WeatherError(std::string const& file, std::size_t line, std::string const& what)
    : std::runtime_error(line == 0 ? fmt::format("{}: {}", file, what)
                                   : fmt::format("{}:{}: {}", file, line, what)) {}

}  // namespace holdwater::weather
