#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "models/water/draw_events.hpp"

namespace holdwater::models {

/// Weights of the 24 hours of a day, hour 0 = 00:00..01:00 local standard time. Any positive scale.
using DayProfile = std::array<double, 24>;
using MonthFactors = std::array<double, 12>;

/// Indoor use of one household, with two peaks; invented, with the shape of published single-family profiles.
/// The sum is 1.
inline constexpr DayProfile household_profile{.010, .007, .006, .006, .010, .025, .060, .085,
                                              .075, .060, .050, .045, .045, .040, .035, .035,
                                              .042, .055, .070, .070, .060, .050, .038, .021};
/// Weekend, with a later and flatter morning; invented. The sum is 1.
inline constexpr DayProfile household_weekend_profile{.012, .009, .007, .006, .008, .016, .033, .054,
                                                      .072, .080, .076, .068, .060, .053, .047, .046,
                                                      .049, .057, .063, .060, .050, .036, .023, .015};
/// Animals that drink by day; invented. The sum is 1.
inline constexpr DayProfile livestock_profile{.005, .004, .004, .005, .015, .050, .075, .070,
                                              .060, .055, .050, .050, .055, .060, .065, .070,
                                              .075, .075, .060, .045, .025, .015, .008, .004};
inline constexpr DayProfile even_profile{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1,
                                         1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
inline constexpr MonthFactors even_months{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};

/// Throws unless every weight is >= 0 and their sum > 0.
void validate(DayProfile const& profile);

/// Weight 1 in the hours from..until (exclusive); past midnight if until <= from.
DayProfile block_profile(int from_hour, int until_hour);

/// Water demand of one hour: its volume, and the flow while the tap is open. The tap is open for the time
/// volume / tap_flow, at most the hour.
struct HourDemand {
    double volume_m3 = 0;
    double tap_flow_m3_s = 0;
};

/// The volume of a day spread over its hours. The 24 volumes add up to `daily_m3` (except for rounding in the
/// last digit).
std::array<double, 24> hourly_volumes_m3(DayProfile const& profile, double daily_m3);

/// Seconds of the hour in which the tap is open: volume / tap flow. If that is more than the hour, the tap is
/// open all hour and the flow is volume / hour.
struct TapOpening {
    double open_s = 0, flow_m3_s = 0;
};
TapOpening tap_opening(HourDemand const& d);

/// Water per head and day by the mean air temperature of the day: straight lines between the points, constant
/// beyond the ends.
struct DrinkingPoint {
    double temperature_c = 0, volume_m3 = 0;
    friend bool operator==(DrinkingPoint const&, DrinkingPoint const&) = default;
};
double drinking_m3_per_head(std::span<DrinkingPoint const> points, double temperature_c);

/// Drinking curves of some animals by name. For an unknown name it throws ParameterError, which lists the
/// names. Sources: `beef_nursing` Kansas State livestock-watering handbook, Table 1 (40, 60, 80 degF); the
/// others are winter and summer figures of Agriculture and Agri-Food Canada, used here at 40 and 80 degF (an
/// assumption: the figures give no temperatures).
std::vector<DrinkingPoint> animal_drinking(std::string const& name);

/// One use of water. Volume of a day = daily_m3 * month factor * weekday or weekend factor. With a drinking
/// curve, heads * curve replaces daily_m3.
struct WaterUse {
    std::string name;
    int priority = 0;  // 0 is served first; uses of equal priority share
    double daily_m3 = 0;
    double tap_flow_m3_s = 0;  // while open; 0 = flows at the mean of the hour (leaks)
    DayProfile weekday = even_profile, weekend = even_profile;
    double weekday_factor = 1, weekend_factor = 1;
    MonthFactors month_factor = even_months;
    double heads = 0;  // animals, with `drinking`
    std::vector<DrinkingPoint> drinking;
    int every_days = 1;        // used on every so many days, from 1 January on
    bool deferrable = false;   // may wait for surplus power
    double day_variation = 0;  // coefficient of variation of a day's volume; 0 = no random variation
    /// Drawn as single uses of these (draw_events.hpp); empty: as one lump at the beginning of each hour.
    std::vector<Fixture> fixtures{};
    friend bool operator==(WaterUse const&, WaterUse const&) = default;
};

void validate(WaterUse const& use);

WaterUse household_use(std::string name, double persons, double daily_m3_per_person, double tap_flow_m3_s);
WaterUse livestock_use(std::string name, double heads, std::vector<DrinkingPoint> drinking,
                       double float_flow_m3_s);
/// Backwash of a filter or regeneration of a softener: `volume_m3` from the beginning of `at_hour` on, every
/// so many days. Its place in the order of uses is that of the household.
WaterUse backwash_use(std::string name, double volume_m3, int every_days, int at_hour, double flow_m3_s);
/// `daily_m3` by month; watering in the hours from..until.
WaterUse irrigation_use(std::string name, std::array<double, 12> const& daily_m3_by_month, int from_hour,
                        int until_hour, double flow_m3_s);
WaterUse leak_use(std::string name, double flow_m3_s);

/// Demand of every use in every hour of one calendar year, hour 0 = 00:00..01:00 on 1 January, local standard
/// time.
struct DemandYear {
    std::size_t hours = 0, uses = 0;
    std::vector<HourDemand> cells;  // hour by hour, uses side by side
    HourDemand const& at(std::size_t hour, std::size_t use) const { return cells[hour * uses + use]; }
    double total_m3(std::size_t use) const;
    double hour_volume_m3(std::size_t hour) const;
};

struct DemandYearOptions {
    int year = 2023;
    /// Mean air temperature of each day, for uses with a drinking curve; empty only if there are none.
    std::span<double const> day_temperature_c = {};
    std::uint64_t seed = 0;
    /// Scale the random days of each use so that the total of the year stays the same.
    bool keep_year_total = true;
    bool leap_day = true;  // false: 29 February is left out, the year has 8760 hours
};

/// The day-to-day variation is lognormal with mean 1, independent between days and between uses. The same
/// seed gives the same numbers on every machine with the same math library. Random numbers: 64-bit Mersenne
/// twister, u = (raw >> 11) 2^-53, z = sqrt(-2 ln(1 - u1)) cos(2 pi u2), uses in order and days in order.
DemandYear make_demand_year(std::span<WaterUse const> uses, DemandYearOptions const& options);

/// Volume that each use gets in one hour from `available_m3`: in order of priority, and in proportion to the
/// demand among uses of equal priority.
void share_by_priority(std::span<WaterUse const> uses, std::span<HourDemand const> hour, double available_m3,
                       std::span<double> delivered_m3);

}  // namespace holdwater::models
