#pragma once

#include <array>
#include <vector>

#include "weather/day_chain.hpp"
#include "weather/random.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Mean clearness of an hour and its scatter for a day of clearness `daily` at air mass `air_mass`
/// (Graham & Hollands, weather/weather_maker.hpp).
struct HourlyClearness {
    double mean = 0, scatter = 0;
};
HourlyClearness hourly_clearness_of(double daily, double air_mass);

/// An hour in which the sun is up, with the values that are the same in every year.
struct LitHour {
    std::size_t hour = 0;  ///< 0 .. 8759
    double outside_w_m2 = 0, clear_w_m2 = 0, clear_beam_w_m2 = 0, air_mass = 0, solar_time_h = 0,
           elevation_deg = 0, cos_zenith = 0, sun_up_fraction = 0, outside_normal_w_m2 = 0;
};

/// The hours of light over a place.
struct LightOfPlace {
    SunYear sun;
    std::vector<LitHour> hours;
    /// Index of each day's first hour in `hours`, and the number of its hours.
    std::array<std::size_t, 366> first{};
    std::array<double, 365> outside_w_m2{};  ///< sum of a day
    std::array<double, 365> clear{};         ///< clearness of a day under a clear sky
};
/// `sun` is sun_over_year(site).
LightOfPlace light_of_place(Site const& site, double linke_turbidity, SunYear sun);

/// Fills GHI, DNI and DHI (8760 zeros each) from the clearness of the days, which are at most `clear`.
void make_light(LightOfPlace const& place, std::array<double, 365> const& daily, HourlyNormals& random,
                WeatherYear& year);

}  // namespace holdwater::weather
