#include "scenarios/design/weather_shelf.hpp"

#include "scenarios/design/scenario_weather.hpp"

namespace holdwater::scenarios {

std::shared_ptr<weather::WeatherYear const> WeatherShelf::of(Scenario const& s) {
    auto const read = [&] {
        return std::make_shared<weather::WeatherYear const>(read_scenario_weather(s, other_path_));
    };
    if (s.weather_columns && other_path_.empty()) return read();
    auto& year = years_[weather_reading_key(s)];
    if (!year) year = read();
    return year;
}

}  // namespace holdwater::scenarios
