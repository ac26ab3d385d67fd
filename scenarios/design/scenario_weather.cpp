#include "scenarios/design/scenario_weather.hpp"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <numbers>
#include <system_error>

#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"
#include "weather/decomposition.hpp"
#include "weather/read_file_text.hpp"
#include "weather/read_weather.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::scenarios {
namespace {

constexpr double degree = std::numbers::pi / 180;

// Great-circle distance on a sphere with the mean radius of the Earth.
double distance_km(Coordinates const& a, weather::Site const& b) {
    double const half_lat = std::sin((a.latitude_deg - b.latitude_deg) * degree / 2),
                 half_lon = std::sin((a.longitude_deg - b.longitude_deg) * degree / 2);
    double const h = half_lat * half_lat + std::cos(a.latitude_deg * degree) *
                                               std::cos(b.latitude_deg * degree) * half_lon * half_lon;
    return 2 * 6371.0 * std::asin(std::sqrt(std::min(h, 1.0)));
}

// Whether the weather can belong to the place (limits: common practice, no source).
void check_place(Scenario const& scenario, weather::WeatherYear& year, bool own_file) {
    constexpr double far_km = 50, too_far_km = 1000, notable_climb_m = 300, notable_tilt_deg = 15;
    if (scenario.coordinates) {
        double const km = distance_km(*scenario.coordinates, year.site);
        if (km > too_far_km && own_file)
            throw ScenarioError(
                scenario.path, 0, "latitude",
                fmt::format(
                    "the weather file is for latitude {:g}, longitude {:g}, {:.0f} km from the place given; "
                    "check the signs (north and east are positive) or take a nearer file",
                    year.site.latitude_deg, year.site.longitude_deg, km));
        if (km > far_km)
            year.warnings.push_back(fmt::format("the weather was recorded {:.0f} km from the well", km));
    }
    double const climb_m = scenario.elevation_m - year.site.elevation_m;
    if (std::abs(climb_m) > notable_climb_m)
        year.warnings.push_back(
            fmt::format("the weather is from {:.0f} m {} than the well: temperature and sun differ",
                        std::abs(climb_m), climb_m > 0 ? "lower" : "higher"));
    bool const fixed = !scenario.tracker && scenario.tilt_changes.empty();
    double const equator_deg = year.site.latitude_deg < 0 ? 0 : 180;
    if (fixed && scenario.plane.tilt_deg > notable_tilt_deg && std::abs(year.site.latitude_deg) > 23.5 &&
        std::cos((scenario.plane.azimuth_deg - equator_deg) * degree) < -0.5)
        year.warnings.push_back(fmt::format(
            "array.azimuth: {:.0f} deg faces away from the equator (latitude {:g}); 180 deg is south",
            scenario.plane.azimuth_deg, year.site.latitude_deg));
}

// The line of the scenario that names its weather file, in [weather] or in an option; 0 if none does (the
// name comes from the command line).
std::size_t line_of_weather_file(Scenario const& s) {
    namespace fs = std::filesystem;
    auto const line_of = [&](toml::node_view<toml::node const> node) -> std::size_t {
        auto const given = node.value<std::string>();
        if (!given) return 0;
        auto const path = (fs::path(s.path).parent_path() / *given).lexically_normal().string();
        return path == s.weather_path ? node.node()->source().begin.line : 0;
    };
    std::error_code failure;
    if (!fs::is_regular_file(s.path, failure)) return 0;  // a pipe cannot be read twice
    try {
        auto const document = parse_toml(text_of_file(s.path, "scenario file"), s.path);
        if (auto const line = line_of(document.at_path("weather.file"))) return line;
        if (auto const* options = document.get_as<toml::array>("option"))
            for (auto const& option : *options)
                if (auto const* table = option.as_table())
                    for (auto const node : {(*table)["weather.file"], table->at_path("weather.file")})
                        if (auto const line = line_of(node)) return line;
    } catch (ScenarioError const&) {
        // The text was not read from a file, or the file has changed since.
    }
    return 0;
}

// A file that is not there is the scenario's error, at the key that names it.
weather::WeatherYear read_own_file(Scenario const& s, weather::ReadOptions const& options) {
    std::string text;
    try {
        text = weather::read_file_text(s.weather_path, {weather::largest_weather_file});
    } catch (weather::FileTextError const& error) {
        throw MissingWeatherError(s.path, line_of_weather_file(s), "weather.file",
                                  fmt::format("{}: {}", s.weather_path, error.what()));
    }
    return weather::read_weather_text(text, s.weather_path, options);
}

}  // namespace

std::string weather_reading_key(Scenario const& s) {
    auto const place = s.coordinates.value_or(Coordinates{});
    return fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}", s.weather_path,
                       s.weather_stamp ? static_cast<int>(*s.weather_stamp) : -1, s.weather_shift_min,
                       static_cast<int>(s.decomposition), s.decompose_all, s.fill_long_gaps, s.albedo,
                       place.latitude_deg, place.longitude_deg);
}

weather::WeatherYear read_scenario_weather(Scenario const& scenario, std::string const& other_path) {
    weather::ReadOptions options;
    options.decomposition = scenario.decomposition;
    options.allow_long_gaps = scenario.fill_long_gaps;
    options.default_albedo = scenario.albedo;
    if (other_path.empty()) {
        options.columns = scenario.weather_columns;
        options.stamp = scenario.weather_stamp;
        options.shift_min = scenario.weather_shift_min;
    }
    auto year =
        other_path.empty() ? read_own_file(scenario, options) : weather::read_weather(other_path, options);
    if (scenario.decompose_all) {
        weather::decompose(year, weather::sun_over_year(year.site), scenario.decomposition);
        year.repairs.push_back(
            {"decomposed", 0, weather::hours_per_year,
             fmt::format("beam and diffuse of every hour were split anew from GHI ({}), as the scenario asks",
                         weather::source_of(scenario.decomposition))});
    }
    check_place(scenario, year, other_path.empty());
    return year;
}

}  // namespace holdwater::scenarios
