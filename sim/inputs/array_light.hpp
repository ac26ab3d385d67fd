#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/series.hpp"
#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The plane of the array in each hour of the year: fixed, tilted by hand, or tracking the sun.
std::vector<weather::Plane> array_planes(scenarios::RackScenario const& rack, weather::SunYear const& sun);

/// Light on the array through the year, with the horizon taken into account.
struct ArrayLight {
    weather::PlaneYear light;
    Series total_w_m2;             ///< beam, sky and ground
    std::vector<double> tilt_deg;  ///< empty: always that of the rack's plane
};
ArrayLight light_on_array(scenarios::RackScenario const& rack, weather::WeatherYear const& year,
                          weather::SunYear const& sun);

}  // namespace holdwater::sim
