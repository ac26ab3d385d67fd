#pragma once

#include "weather/weather_maker.hpp"

namespace holdwater::fuzz {

/// A made year at an invented place, for targets that need weather.
inline weather::WeatherYear const& made_year() {
    static weather::WeatherYear const year = [] {
        weather::MakeOptions options;
        options.site = {44, -114, 1500, -7};
        options.clearness.fill(0.55);
        options.temperature_c.fill(8);
        return weather::make_weather(options);
    }();
    return year;
}

}  // namespace holdwater::fuzz
