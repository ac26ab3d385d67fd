#pragma once

#include <array>
#include <cstdint>
#include <iosfwd>
#include <string>

#include "weather/daily_clearness.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// What a made year is to look like. The place is invented and the file says so.
struct MakeOptions {
    std::string place;
    Site site;
    std::uint64_t seed = 1;
    std::array<double, 12> clearness{};      ///< monthly mean of the daily Kt, each 0.2 .. 0.75
    std::array<double, 12> temperature_c{};  ///< monthly means
    double daily_range_k = 12;  ///< mean difference between a day's warmest and coldest hour, 0 .. 30
    double day_to_day = default_day_to_day;  ///< lag-1 of the clearness index, 0 .. 0.9
    double wind_mean_m_s = 3;                ///< 0 .. 20
    double linke_turbidity =
        2.0;  ///< of the clearest days; no hour is brighter than this sky by more than 5 %
    /// Meet the twelve means of clearness to 1 %, as far as the clear sky allows (a typical year). Off: the
    /// months scatter as real ones do and meet the means over many years.
    bool keep_monthly_means = true;
};

/// Throws std::invalid_argument naming field, value and rule.
void validate(MakeOptions const& options);

/// A plausible year from nothing but a seed: the same options give the same bytes everywhere.
/// Days: clearness by generate_daily_clearness, held below the clear sky of Ineichen & Perez.
/// Hours: Graham & Hollands 1990 (from memory): kt = lam + eps exp(-kap m) with lam = Kt - 1.167 Kt^3 (1 -
/// Kt), eps = 0.979 (1 - Kt), kap = 1.141 (1 - Kt)/Kt, m air mass, scatter 0.16 sin(pi Kt/0.90) with an
/// hourly memory of 0.54; clipped to 0 .. clear sky, then scaled so that the day's Kt is met. Beam and
/// diffuse: Ridley, Boland & Lauret. Temperature: monthly means met exactly; days wander with a memory of 0.7
/// and a spread of 3 K, cold-season clouds are not warmer than clear days; daily range in proportion to Kt;
/// coldest near 05:00, warmest near 15:00 (common practice, no source). Wind: Rayleigh spread with an hourly
/// memory of 0.9 (common practice, no source). Snow and albedo are left out.
WeatherYear make_weather(MakeOptions const& options);

/// Year `index` (0, 1, ...) of a run of years with one seed, each from its own stream of random numbers, so
/// that year 37 is the same whether or not years 0-36 were made.
WeatherYear make_weather(MakeOptions const& options, int index);

/// Mean clearness of an hour and its scatter for a day of clearness `daily` at air mass `air_mass` (above).
struct HourlyClearness {
    double mean = 0, scatter = 0;
};
HourlyClearness hourly_clearness_of(double daily, double air_mass);

/// Plain CSV that read_weather takes back: comment lines (the year's note), site lines, header, 8760 rows.
void write_plain_csv(std::ostream& out, WeatherYear const& year);

}  // namespace holdwater::weather
