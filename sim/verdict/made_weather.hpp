#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <tuple>
#include <vector>

#include "sim/inputs/inputs_shelf.hpp"
#include "sim/verdict/made_years.hpp"
#include "weather/fit_maker.hpp"
#include "weather/weather_maker.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Random stream of the weather of made years; the next numbers are the streams of what else is drawn.
inline constexpr std::uint64_t made_weather_stream = 41;

/// Whether made years are fitted to the first set of recorded years: if there are five or more.
bool fitted_to_recorded(DrawOptions const& options);

/// The year with its hours before `hour` taken from another calendar year.
weather::WeatherYear joined(weather::WeatherYear year, weather::WeatherYear const& before, int hour);

/// The weather of the made years of a design (DrawOptions: seed, recorded years to fit to), with the albedo
/// of its own weather file. Throws weather::WeatherError above
/// weather::highest_made_latitude_deg.
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

/// The weather of made years and the inputs made from it, kept from one study to the next: a maker is fitted
/// once for each weather (by its content, not by its file), and the last years are not made again. What it
/// gives does not depend on what it keeps. For several threads.
class MadeShelf {
  public:
    /// `years`: of so many years all inputs are kept (InputsShelf), for studies that follow one another.
    explicit MadeShelf(std::size_t years = 16) : inputs_(years) {}

    using Made = std::shared_ptr<MadeWeather const>;
    using Year = std::shared_ptr<weather::WeatherYear const>;

    /// MadeWeather(own_year, options). Throws the same.
    Made maker(weather::WeatherYear const& own_year, DrawOptions const& options);
    /// Made years first, first + 1, .. (MadeWeather::year).
    std::vector<Year> years(Made const& made, int first, std::size_t count, int first_hour);
    InputsShelf& inputs() { return inputs_; }
    /// Some more than the 50 years that a verdict usually has, with the one before them; 30 MB of weather.
    static constexpr std::size_t most_years = 64;

  private:
    static constexpr std::size_t most_makers = 8;
    struct Fitted {
        std::vector<weather::WeatherYear> to;  // to what the maker was fitted; the first one is the own year
        std::uint64_t seed = 1;
        bool operator==(Fitted const& other) const;
    };
    Shelf<Fitted, MadeWeather> makers_{most_makers};
    std::mutex mutex_;
    std::map<std::tuple<Made, int, int>, Year> years_;  // by maker, number and first hour
    InputsShelf inputs_;
};

}  // namespace holdwater::sim
