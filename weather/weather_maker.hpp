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
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// The distribution of the days of a place, found in a file or a record (weather/fit_maker.hpp).
struct DaysOfPlace {
    std::array<DayTable, 12> clearness{};  ///< before the cap of the clear sky
    DayChain chain;
    std::array<MonthTemperature, 12> temperature{};
};

/// Above this latitude, north or south, no year can be made: months with hardly any light have no clearness
/// from which others could be made.
inline constexpr double highest_made_latitude_deg = 66;

/// Properties of a made year. The place is invented, and the file says so.
struct MakeOptions {
    std::string place;
    Site site;
    std::uint64_t seed = 1;
    std::array<double, 12> clearness{};      ///< monthly mean of the daily Kt, each 0.2 .. 0.75
    std::array<double, 12> temperature_c{};  ///< monthly means
    double daily_range_k = 12;  ///< mean difference between a day's warmest and coldest hour, 0 .. 30
    double day_to_day = default_day_to_day;  ///< lag-1 of the clearness index, 0 .. 0.9
    double slow_share = 0.025;               ///< share of the spread of days that lasts for weeks, 0 .. 0.5
    double wind_mean_m_s = 3;                ///< 0 .. 20
    double linke_turbidity =
        2.0;  ///< of the clearest days; no hour is brighter than this sky by more than 5 %
    /// The twelve means of clearness are met to 1 %, as far as the clear sky allows, and those of temperature
    /// exactly (a typical year). If false, months and years differ as real ones do, and meet the means over
    /// many years.
    bool keep_monthly_means = true;
    /// Days of a known place, instead of temperature_c, daily_range_k, day_to_day, slow_share and the usual
    /// spread of days. `clearness` is still what the months meet.
    std::optional<DaysOfPlace> days;
};

/// Throws std::invalid_argument naming field, value and rule.
void validate(MakeOptions const& options);

/// Makes years of one place. The sun positions and everything else that does not change from year to year are
/// computed once. Several threads may use one maker.
///
/// Days: clearness by the deviates of a chain (weather/day_chain.hpp) through a table for each month
/// (weather/day_table.hpp; without a known place the distribution of weather/daily_clearness.hpp), limited to
/// the clear sky of Ineichen & Perez.
/// Hours: Graham & Hollands 1990 (from memory): kt = lam + eps exp(-kap m) with lam = Kt - 1.167 Kt^3 (1 -
/// Kt), eps = 0.979 (1 - Kt), kap = 1.141 (1 - Kt)/Kt, m air mass, scatter 0.16 sin(pi Kt/0.90) with an
/// hourly correlation of 0.54; limited to 0 .. clear sky, then scaled so that the day's Kt is met. Beam and
/// diffuse: Ridley, Boland & Lauret, with beam no brighter than under the clear sky.
/// Temperature: weather/made_temperature.hpp. Wind: Rayleigh distribution with an hourly correlation of 0.9
/// (common practice, no source). Snow and albedo are left out.
class WeatherMaker {
  public:
    /// Throws std::invalid_argument naming field, value and rule.
    explicit WeatherMaker(MakeOptions const& options);
    /// With sun_over_year(options.site), where it is at hand. Throws as above.
    WeatherMaker(MakeOptions const& options, SunYear sun);
    ~WeatherMaker();
    WeatherMaker(WeatherMaker&&) noexcept;
    WeatherMaker& operator=(WeatherMaker&&) noexcept;

    /// Year `index` (0, 1, ...). It depends only on options, seed and index, and continues year index - 1, so
    /// cloudy and cold periods can last over New Year. Throws std::invalid_argument for an index below 0.
    [[nodiscard]] WeatherYear year(int index) const;

  private:
    struct Place;
    std::unique_ptr<Place const> place_;
};

/// Year 0, and year `index`, of a maker that is used once.
WeatherYear make_weather(MakeOptions const& options);
WeatherYear make_weather(MakeOptions const& options, int index);

/// Plain CSV that read_weather can read: comment lines (the year's note), site lines, header, 8760 rows.
std::string plain_csv_of(WeatherYear const& year);

}  // namespace holdwater::weather
