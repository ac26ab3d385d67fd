#include "sim/inputs/array_light.hpp"

#include <utility>

#include "weather/horizon.hpp"
#include "weather/moving_planes.hpp"

namespace holdwater::sim {
namespace {

std::vector<weather::Plane> hand_set_planes(scenarios::RackScenario const& rack) {
    auto const& changes = rack.tilt_changes;
    std::vector<weather::Plane> planes(weather::hours_per_year, rack.plane);
    // Before the first change of the year, the last tilt of the year before still holds.
    std::size_t current = changes.size() - 1;
    for (std::size_t h = 0; h < planes.size(); ++h) {
        std::size_t const next = (current + 1) % changes.size();
        if (changes[next].first_day * 24 == static_cast<int>(h)) current = next;
        planes[h].tilt_deg = changes[current].tilt_deg;
    }
    return planes;
}

}  // namespace

std::vector<weather::Plane> array_planes(scenarios::RackScenario const& rack, weather::SunYear const& sun) {
    if (rack.tracker) return weather::tracker_planes(*rack.tracker, sun);
    if (!rack.tilt_changes.empty()) return hand_set_planes(rack);
    return std::vector<weather::Plane>(weather::hours_per_year, rack.plane);
}

ArrayLight light_on_array(scenarios::RackScenario const& rack, weather::WeatherYear const& year,
                          weather::SunYear const& sun) {
    ArrayLight on;
    if (rack.tracker || !rack.tilt_changes.empty()) {
        auto const planes = array_planes(rack, sun);
        on.light = weather::plane_of_array(year, sun, planes, rack.transposition, rack.albedo);
        on.moving_tilt_deg.reserve(planes.size());
        for (weather::Plane const& plane : planes) on.moving_tilt_deg.push_back(plane.tilt_deg);
    } else {
        on.light = weather::plane_of_array(year, sun, rack.plane, rack.transposition, rack.albedo);
        on.fixed_tilt_deg = rack.plane.tilt_deg;
    }
    on.light = weather::behind_horizon(std::move(on.light), sun, rack.horizon);
    std::vector<double> total_w_m2(weather::hours_per_year);
    for (std::size_t h = 0; h < total_w_m2.size(); ++h) total_w_m2[h] = on.light.total_w_m2(h);
    on.total_w_m2 = std::move(total_w_m2);
    return on;
}

}  // namespace holdwater::sim
