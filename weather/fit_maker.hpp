#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "weather/weather_maker.hpp"

namespace holdwater::weather {

/// Parameters with which made years are like the place of a file. `notes` says in words what had to be
/// limited to the range of the maker.
///
/// Clearness: weather/fit_days.hpp. Temperature: monthly means, and for each month the daily range, how much
/// warmer or colder a clear day is, and the variation from day to day, from the month and its neighbors.
/// Wind: its mean. Months and years differ as in the seven records from which the rule was made
/// (tests/year-to-year/README.md). Linke turbidity: 2, or 1.5 if the file has days clearer than that sky.
///
/// Leaves out: years that are cloudy or hot as a whole for a special reason (volcanoes), a changing climate,
/// and anything that no month of the file shows.
struct MakerFit {
    MakeOptions options;
    SunYear sun;  ///< sun_over_year(options.site)
    std::vector<std::string> notes;
};

/// From a typical year. Throws WeatherError above highest_made_latitude_deg, and std::invalid_argument for
/// another site that cannot be.
MakerFit fit_maker(WeatherYear const& typical_year, std::uint64_t seed);

/// From recorded years of one place (the site of the first one counts). Nothing is restored; the spread of
/// months is that of the record. Throws as above, and std::invalid_argument if there is no year.
MakerFit fit_maker(std::vector<WeatherYear> const& recorded_years, std::uint64_t seed);

}  // namespace holdwater::weather
