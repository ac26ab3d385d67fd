#pragma once

#include <cstddef>
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
    Series total_w_m2;                    ///< beam, sky and ground
    std::vector<double> moving_tilt_deg;  ///< of each hour; empty: the array is fixed
    double fixed_tilt_deg = 0;
    [[nodiscard]] double tilt_deg(std::size_t hour) const {
        return moving_tilt_deg.empty() ? fixed_tilt_deg : moving_tilt_deg[hour];
    }
};
ArrayLight light_on_array(scenarios::RackScenario const& rack, weather::WeatherYear const& year,
                          weather::SunYear const& sun);

}  // namespace holdwater::sim
