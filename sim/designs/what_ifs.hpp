#pragma once

#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/autonomy.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Longest cloudy period the days to the first shortage are followed for.
inline constexpr int longest_shortage_days = autonomy_looked_at_d;

/// Days from sunset to the first shortage of water from the worst start date, battery full, cistern and
/// troughs where the typical year has them, no backup, one for each share of the clear sky [0 .. 1];
/// infinity: not within longest_shortage_days. With no sun it is the autonomy.
std::vector<double> days_to_shortage(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                                     std::vector<double> const& clear_sky_shares);

/// The one thing that is changed, and what its ends are numbers of.
enum class WhatIfChange {
    water_used,     ///< times the design's demand
    small_loads,    ///< times the design's
    inverter_idle,  ///< times the design's; the loss under load stays
    battery_left,   ///< times the design's capacity
    start_soc,      ///< state of charge at sunset
    sun,            ///< share of a clear sky
    array_yield,    ///< times the design's, with its controller
    leak,           ///< m3/s from the first sunset on
    static_level    ///< m deeper than in the design
};

/// The design with one thing changed to either end; NaN: that end is not tried.
struct WhatIf {
    WhatIfChange change{};
    double low{}, high{};
    double low_days{}, high_days{};
};

struct WhatIfs {
    double clear_sky_share = 0;  ///< of the cloudy period they were tried in
    double base_days = 0;
    std::vector<WhatIf> bars;  ///< the longest first
    double leak_m3_s = 0, days_with_leak = 0;
};

/// What moves the days to the first shortage most. The cloudy period is the brightest of the first three
/// shares in which the design comes to a shortage at all. The sizes of the changes are common practice, no
/// source. `days` are days_to_shortage at `clear_sky_shares`, four or more and rising.
WhatIfs what_ifs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                 std::vector<double> const& clear_sky_shares, std::vector<double> const& days);

}  // namespace holdwater::sim
