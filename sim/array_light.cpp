#include "sim/array_light.hpp"

#include <utility>

#include "weather/horizon.hpp"
#include "weather/moving_planes.hpp"

namespace holdwater::sim {
namespace {

std::vector<weather::Plane> hand_set_planes(scenarios::ArrayScenario const& scenario) {
    auto const& changes = scenario.tilt_changes;
    std::vector<weather::Plane> planes(weather::hours_per_year, scenario.plane);
    // Before the first change of the year the last one of the year before still holds.
    std::size_t current = changes.size() - 1;
    for (std::size_t h = 0; h < planes.size(); ++h) {
        std::size_t const next = (current + 1) % changes.size();
        if (changes[next].first_day * 24 == static_cast<int>(h)) current = next;
        planes[h].tilt_deg = changes[current].tilt_deg;
    }
    return planes;
}

}  // namespace

std::vector<weather::Plane> array_planes(scenarios::ArrayScenario const& scenario,
                                         weather::SunYear const& sun) {
    if (scenario.tracker) return weather::tracker_planes(*scenario.tracker, sun);
    if (!scenario.tilt_changes.empty()) return hand_set_planes(scenario);
    return std::vector<weather::Plane>(weather::hours_per_year, scenario.plane);
}

ArrayLight light_on_array(scenarios::ArrayScenario const& scenario, weather::WeatherYear const& year,
                          weather::SunYear const& sun) {
    ArrayLight on;
    if (scenario.tracker || !scenario.tilt_changes.empty()) {
        auto const planes = array_planes(scenario, sun);
        on.light = weather::plane_of_array(year, sun, planes, scenario.transposition, scenario.albedo);
        on.tilt_deg.reserve(planes.size());
        for (weather::Plane const& plane : planes) on.tilt_deg.push_back(plane.tilt_deg);
    } else {
        on.light =
            weather::plane_of_array(year, sun, scenario.plane, scenario.transposition, scenario.albedo);
        on.tilt_deg.assign(weather::hours_per_year, scenario.plane.tilt_deg);
    }
    on.light = weather::behind_horizon(std::move(on.light), sun, scenario.horizon);
    return on;
}

}  // namespace holdwater::sim
