#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "weather/sun_position.hpp"
#include "weather/transposition.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The array's plane in each hour of the year: standing still, set by hand or turning with the sun.
std::vector<weather::Plane> array_planes(scenarios::RackScenario const& rack, weather::SunYear const& sun);

/// Light on the array through the year, hills on the horizon taken off.
struct ArrayLight {
    weather::PlaneYear light;
    std::vector<double> tilt_deg;
};
ArrayLight light_on_array(scenarios::RackScenario const& rack, weather::WeatherYear const& year,
                          weather::SunYear const& sun);

}  // namespace holdwater::sim
