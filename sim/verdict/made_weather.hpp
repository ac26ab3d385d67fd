#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "sim/verdict/made_years.hpp"
#include "weather/fit_maker.hpp"
#include "weather/weather_maker.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Random stream of the weather of made years; the next numbers are the streams of what else is drawn.
inline constexpr std::uint64_t made_weather_stream = 41;

/// Whether made years are fitted to the first set of recorded years: if there are five or more.
bool fitted_to_recorded(DrawOptions const& options);

/// The hours before `hour` from one calendar year, the others from another.
weather::WeatherYear joined(weather::WeatherYear const& from_hour_on, weather::WeatherYear const& before,
                            int hour);

/// The weather of the made years of a design (DrawOptions: seed, recorded years to fit to), with the albedo
/// of its own weather file. Throws std::invalid_argument above 66 degrees of latitude.
class MadeWeather {
  public:
    MadeWeather(weather::WeatherYear const& own_year, DrawOptions const& options);
    /// Calendar year 0, 1, .. of the maker.
    [[nodiscard]] weather::WeatherYear calendar_year(int index) const;
    /// Made year 1, 2, ..: calendar year `number` from `first_hour` on, and the hours before it from the next
    /// calendar year.
    [[nodiscard]] weather::WeatherYear year(int number, int first_hour) const;
    /// What had to be limited to the range of the maker.
    [[nodiscard]] std::vector<std::string> const& notes() const { return notes_; }

  private:
    MadeWeather(weather::MakerFit fit, weather::WeatherYear const& own_year);

    weather::WeatherMaker maker_;
    std::vector<double> albedo_;
    std::vector<std::string> notes_;
};

}  // namespace holdwater::sim
