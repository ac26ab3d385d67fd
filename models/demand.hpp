#pragma once

#include <array>

namespace holdwater::models {

/// Weights of the 24 hours of a day, hour 0 = 00:00..01:00 local standard time. Any positive scale.
using DayProfile = std::array<double, 24>;

/// Indoor use of one household, two peaks; invented, shaped like published single-family profiles. Sums to 1.
inline constexpr DayProfile household_profile{.010, .007, .006, .006, .010, .025, .060, .085,
                                              .075, .060, .050, .045, .045, .040, .035, .035,
                                              .042, .055, .070, .070, .060, .050, .038, .021};

/// Throws unless every weight is >= 0 and their sum > 0.
void validate(DayProfile const& profile);

/// Water asked for in one hour: volume, and the flow while a tap is open. A tap open for less than the hour
/// is open volume / tap_flow of it.
struct HourDemand {
    double volume_m3 = 0;
    double tap_flow_m3_s = 0;
};

/// A day's volume spread over its hours. The 24 volumes add up to `daily_m3` (to rounding in the last place).
std::array<double, 24> hourly_volumes_m3(DayProfile const& profile, double daily_m3);

/// Seconds of the hour the tap is open: volume / tap flow, at most the hour; then the flow is volume / hour.
struct TapOpening {
    double open_s, flow_m3_s;
};
TapOpening tap_opening(HourDemand const& d);

}  // namespace holdwater::models
