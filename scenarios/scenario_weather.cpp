#include "scenarios/scenario_weather.hpp"

#include <fmt/format.h>

#include "weather/decomposition.hpp"
#include "weather/read_weather.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::scenarios {

weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path) {
    weather::ReadOptions options;
    options.decomposition = scenario.decomposition;
    options.allow_long_gaps = scenario.fill_long_gaps;
    options.default_albedo = scenario.albedo;
    if (other_path.empty()) options.columns = scenario.weather_columns;
    auto year = weather::read_weather(other_path.empty() ? scenario.weather_path : other_path, options);
    if (scenario.decompose_all) {
        weather::decompose(year, weather::sun_over_year(year.site), scenario.decomposition);
        year.repairs.push_back(
            {"decomposed", 0, weather::hours_per_year,
             fmt::format("beam and diffuse of every hour were split anew from GHI ({}), as the scenario asks",
                         weather::source_of(scenario.decomposition))});
    }
    return year;
}

}  // namespace holdwater::scenarios
