#pragma once

#include <string>
#include <string_view>

#include "weather/raw_table.hpp"
#include "weather/read_weather.hpp"

namespace holdwater::weather {

/// The whole file, 256 MiB at most. Throws WeatherError when it cannot be read.
std::string text_of_weather_file(std::string const& path);

/// Whether the text begins like a weather file of a known kind.
bool looks_like_weather(std::string_view text);
/// Whether it is a file of the station archive, which has several irradiance models.
bool looks_like_station_archive(std::string_view text);

/// The records of a file without changes, read by the reader of its kind, which is recognized from the
/// content. `name` is the path in messages. Throws WeatherError with file, line and what is accepted instead.
RawTable read_raw_table(std::string_view text, std::string const& name, ReadOptions const& options,
                        Needs needs);

/// What a file of recorded years must have; its temperature may come from the options' second file.
inline Needs needs_of(ReadOptions const& options) {
    return {.light = true, .temperature = options.second == nullptr};
}

}  // namespace holdwater::weather
