#include "scenarios/design/scenario_weather.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "scenarios/text/scenario_error.hpp"
#include "weather/decomposition.hpp"
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
    auto year = weather::read_weather(other_path.empty() ? scenario.weather_path : other_path, options);
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
