#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "weather/weather_maker.hpp"

namespace holdwater::weather {

/// What to make so that made years are like the given one: its twelve monthly means of daily clearness and of
/// temperature, day-to-day memory of the clearness (held to 0 .. 0.9), mean daily range of temperature and
/// mean wind. Months scatter from year to year and meet the file's means over many years
/// (keep_monthly_means is off). `notes` says in words what had to be held to the range of the maker.
///
/// Holds for: the ordinary scatter of months made of independent cloudy periods of days. Leaves out: years
/// that are dull or hot as a whole (large weather patterns, volcanoes) and stalled weather of above a week;
/// real years differ by more than made ones. Linke turbidity: 2, or 1.5 where the file has days clearer than
/// that sky.
struct MakerFit {
    MakeOptions options;
    std::vector<std::string> notes;
};

/// Throws std::invalid_argument above 66 degrees of latitude, where the maker does not work.
MakerFit fit_maker(WeatherYear const& year, std::uint64_t seed);

}  // namespace holdwater::weather
