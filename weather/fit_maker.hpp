#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "weather/weather_maker.hpp"

namespace holdwater::weather {

/// What to make so that made years are like the place of a file. `notes` says in words what had to be held to
/// the range of the maker.
///
/// Clearness: weather/fit_days.hpp. Temperature: monthly means, and for each month the daily range, what a
/// clear day is warmer or colder, and the wander of days, found in it and its neighbors. Wind: its mean.
/// Months and years differ as in the seven records the rule was made from (tests/year-to-year/README.md).
/// Linke turbidity: 2, or 1.5 where the file has days clearer than that sky.
///
/// Leaves out: years that are dull or hot as a whole for a reason of their own (volcanoes), a climate that
/// changes, and what no month of the file shows.
struct MakerFit {
    MakeOptions options;
    std::vector<std::string> notes;
};

/// From a typical year. Throws std::invalid_argument above 66 degrees of latitude, where the maker does not
/// work.
MakerFit fit_maker(WeatherYear const& typical_year, std::uint64_t seed);

/// From recorded years of one place (the site of the first counts): nothing is put back, the spread of months
/// is theirs. Throws std::invalid_argument as above, and for no year.
MakerFit fit_maker(std::vector<WeatherYear> const& recorded_years, std::uint64_t seed);

}  // namespace holdwater::weather
