#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Longest cloudy period in which the days to the first shortage are followed.
inline constexpr int longest_shortage_days = autonomy_looked_at_d;

/// Days from sunset to the first shortage of water from the worst start date. The battery is full, cistern
/// and troughs are as in the typical year, and there is no backup. One value for each share of the clear sky
/// [0 .. 1]; infinity: not within longest_shortage_days. Without sun it is the autonomy.
std::vector<double> days_to_shortage(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                                     std::vector<double> const& clear_sky_shares);

/// The one thing that is changed, and the meaning of its two end values.
enum class WhatIfChange {
    water_used,     ///< factor on the design's demand
    small_loads,    ///< factor on the design's value
    inverter_idle,  ///< factor on the design's value; the loss under load stays
    battery_left,   ///< factor on the design's capacity
    start_soc,      ///< state of charge at sunset
    sun,            ///< share of a clear sky
    array_yield,    ///< factor on the design's array, with its controller
    leak,           ///< m3/s from the first sunset on
    static_level    ///< m deeper than in the design
};

/// The design with one thing changed to either end value; NaN: that end is not tried.
struct WhatIf {
    WhatIfChange change{};
    double low{}, high{};
    double low_days{}, high_days{};
};

struct WhatIfs {
    double clear_sky_share = 0;  ///< share of clear sky in the cloudy period in which they were tried
    double base_days = 0;
    std::vector<WhatIf> bars;  ///< the change with the longest bar first
    double leak_m3_s = 0, days_with_leak = 0;
};

/// What changes the days to the first shortage most. The cloudy period has the brightest sky, among the first
/// three shares, in which the design runs short of water at all. The sizes of the changes are common
/// practice, no source. `days` are days_to_shortage at `clear_sky_shares`, four or more and rising.
WhatIfs what_ifs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                 std::vector<double> const& clear_sky_shares, std::vector<double> const& days);

}  // namespace holdwater::sim
