#pragma once

#include <array>
#include <cstdint>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>

#include "weather/daily_clearness.hpp"
#include "weather/day_chain.hpp"
#include "weather/day_table.hpp"
#include "weather/made_temperature.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// How the days of a place are, found in a file or a record (weather/fit_maker.hpp).
struct DaysOfPlace {
    std::array<DayTable, 12> clearness{};  ///< before the cap of the clear sky
    DayChain chain;
    std::array<MonthTemperature, 12> temperature{};
};

/// What a made year is to look like. The place is invented and the file says so.
struct MakeOptions {
    std::string place;
    Site site;
    std::uint64_t seed = 1;
    std::array<double, 12> clearness{};      ///< monthly mean of the daily Kt, each 0.2 .. 0.75
    std::array<double, 12> temperature_c{};  ///< monthly means
    double daily_range_k = 12;  ///< mean difference between a day's warmest and coldest hour, 0 .. 30
    double day_to_day = default_day_to_day;  ///< lag-1 of the clearness index, 0 .. 0.9
    double slow_share = 0.025;               ///< of the spread of days, in spells of weeks, 0 .. 0.5
    double wind_mean_m_s = 3;                ///< 0 .. 20
    double linke_turbidity =
        2.0;  ///< of the clearest days; no hour is brighter than this sky by more than 5 %
    /// Meet the twelve means of clearness to 1 %, as far as the clear sky allows, and of temperature exactly
    /// (a typical year). Off: months and years differ as real ones do and meet the means over many years.
    bool keep_monthly_means = true;
    /// Days of a known place in place of temperature_c, daily_range_k, day_to_day and slow_share and of the
    /// usual spread of days. `clearness` stays what the months meet.
    std::optional<DaysOfPlace> days;
};

/// Throws std::invalid_argument naming field, value and rule.
void validate(MakeOptions const& options);

/// Makes years of one place. The sun over the place and all that does not change from year to year is worked
/// out once; a maker may be used by several threads.
///
/// Days: clearness by deviates of a chain (weather/day_chain.hpp) through a table for each month
/// (weather/day_table.hpp; without a known place the distribution of weather/daily_clearness.hpp), held below
/// the clear sky of Ineichen & Perez.
/// Hours: Graham & Hollands 1990 (from memory): kt = lam + eps exp(-kap m) with lam = Kt - 1.167 Kt^3 (1 -
/// Kt), eps = 0.979 (1 - Kt), kap = 1.141 (1 - Kt)/Kt, m air mass, scatter 0.16 sin(pi Kt/0.90) with an
/// hourly memory of 0.54; clipped to 0 .. clear sky, then scaled so that the day's Kt is met. Beam and
/// diffuse: Ridley, Boland & Lauret, beam no brighter than under the clear sky.
/// Temperature: weather/made_temperature.hpp. Wind: Rayleigh spread with an hourly memory of 0.9 (common
/// practice, no source). Snow and albedo are left out.
class WeatherMaker {
  public:
    /// Throws std::invalid_argument naming field, value and rule.
    explicit WeatherMaker(MakeOptions const& options);
    ~WeatherMaker();
    WeatherMaker(WeatherMaker&&) noexcept;
    WeatherMaker& operator=(WeatherMaker&&) noexcept;

    /// Year `index` (0, 1, ...). It depends on options, seed and index alone, and goes on from year
    /// index - 1: dull spells and cold ones pass the turn of the year.
    /// Throws std::invalid_argument for an index below 0.
    [[nodiscard]] WeatherYear year(int index) const;

  private:
    struct Place;
    std::unique_ptr<Place const> place_;
};

/// Year 0, and year `index`, of a maker that is used once.
WeatherYear make_weather(MakeOptions const& options);
WeatherYear make_weather(MakeOptions const& options, int index);

/// Plain CSV that read_weather takes back: comment lines (the year's note), site lines, header, 8760 rows.
void write_plain_csv(std::ostream& out, WeatherYear const& year);

}  // namespace holdwater::weather
