#include "scenarios/weather_shelf.hpp"

#include <fmt/format.h>

#include "scenarios/scenario_weather.hpp"

namespace holdwater::scenarios {

std::shared_ptr<weather::WeatherYear const> WeatherShelf::of(Scenario const& s) {
    auto const read = [&] {
        return std::make_shared<weather::WeatherYear const>(read_scenario_weather(s, other_path_));
    };
    if (s.weather_columns && other_path_.empty()) return read();
    // Everything of the scenario its reading depends on.
    auto& year = years_[fmt::format("{}|{}|{}|{}|{}", s.weather_path, static_cast<int>(s.decomposition),
                                    s.decompose_all, s.fill_long_gaps, s.albedo)];
    if (!year) year = read();
    return year;
}

}  // namespace holdwater::scenarios
