#pragma once

#include <algorithm>
#include <cmath>

#include "weather/angles.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Great circle on a sphere of the Earth's mean radius, 6371 km [km].
inline double distance_km(Site const& a, Site const& b) {
    double const half_lat = sin_deg((a.latitude_deg - b.latitude_deg) / 2),
                 half_lon = sin_deg((a.longitude_deg - b.longitude_deg) / 2);
    double const h =
        half_lat * half_lat + cos_deg(a.latitude_deg) * cos_deg(b.latitude_deg) * half_lon * half_lon;
    return 2 * 6371.0 * std::asin(std::sqrt(std::min(h, 1.0)));
}

}  // namespace holdwater::weather
