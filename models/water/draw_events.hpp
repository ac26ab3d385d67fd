#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdwater::models {

/// A kind of fixture of a household and how it is used. Volume and flow of a use are lognormal.
struct Fixture {
    std::string name;
    double share = 0;          ///< of the day's volume, > 0, any scale
    double volume_m3 = 0;      ///< mean volume of one use, > 0
    double volume_spread = 0;  ///< standard deviation / mean, 0 .. 3
    double flow_m3_s = 0;      ///< mean flow while it is open, > 0
    double flow_spread = 0;    ///< standard deviation / mean, 0 .. 3
    /// When it is used; 24 weights >= 0. None: at the same hours as the whole household.
    std::optional<std::array<double, 24>> day;
    friend bool operator==(Fixture const&, Fixture const&) = default;
};

/// Throws ParameterError naming the field.
void validate(Fixture const& fixture);

/// The indoor fixtures of a North American single-family house.
///
/// Shares: 33.1 gal a day through toilets, 28.1 showers, 26.3 faucets, 22.7 clothes washers, 3.6 baths, 1.6
/// dishwashers, of 138 gal a household (the rest is leaks and other uses). Volumes: toilet 2.6 gal, shower
/// 15.8 gal at 2.1 gpm, faucet 0.5 gal in half a minute, clothes washer 31 gal a load (here two fills), bath
/// 20.2 gal, dishwasher 6.1 gal a load (here four fills). Source: DeOreo, Mayer, Dziegielewski & Kiefer,
/// Residential End Uses of Water, Version 2, Water Research Foundation 4309b (2016), from memory. The other
/// flows and all spreads: common practice, no source.
std::vector<Fixture> household_fixtures();

/// One use of water, at a constant flow.
struct DrawEvent {
    double start_s = 0, seconds = 0, flow_m3_s = 0;
};

/// Flows of events are multiples of this, so that events that are open together have one of a few sums, which
/// are exact in floating point.
inline constexpr double event_flow_step_m3_s = 0x1p-16;  // 0.92 L/min, 0.24 gpm

/// The uses of one day, in the order in which they are drawn. `hourly_m3`: demand of the 24 hours, each >= 0:
/// its sum is the volume of the day, and its shape says when the household uses water. Times count from
/// 00:00 of the day; a use near its end runs on into the next day. The volumes add up to that of the day
/// (except for rounding in the last digits): fixtures are drawn at random, in proportion to share / volume,
/// until the day's volume is reached, and the last use ends there; its flow stays. That is more often a large
/// one, so large uses are a little rarer than by their share. A use begins at any moment of its hour.
///
/// Leaves out: uses that follow each other (the fills of a load, a faucet after a toilet), and people who
/// wait for each other.
/// Random numbers: see random_stream.hpp; the same seed gives the same uses on every machine with the same
/// math library.
std::vector<DrawEvent> draw_events(std::span<Fixture const> fixtures, std::array<double, 24> const& hourly_m3,
                                   std::uint64_t seed);

/// Mean number of uses in a day of this volume.
double events_per_day(std::span<Fixture const> fixtures, double daily_m3);

}  // namespace holdwater::models
