#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// How the light of the days in a cloudy period is given.
enum class CloudyPeriodKind {
    clearness,        ///< days of given clearness
    clear_sky_share,  ///< each day at a share of its own clear sky (Ineichen & Perez, Linke turbidity 3)
    worst_of_file,    ///< the clearness, day by day, of the days with the least energy for this array
};

struct CloudyPeriodWeather {
    CloudyPeriodKind kind = CloudyPeriodKind::clearness;
    /// Clearness 0 .. 0.8, or share of the clear sky 0 .. 1: the first value for the first 24 hours, the
    /// second for the next 24, the last for all hours that follow. Not used for worst_of_file.
    std::vector<double> values{0.12};
    int hours = 240;     ///< 1 .. 1440
    int start_hour = 0;  ///< hour of the day at which it begins, 0 .. 23
    std::optional<double> outage_h =
        std::nullopt;  ///< the grid is down for this time from the beginning of the period, > 0 .. hours;
                       ///< replaces the outages of the design
};

/// The hours of the year as they are, and how each of its days would be as day 1, 2, .. of the period.
struct CloudyPeriodInputs {
    HourlyInputs own;
    /// One for each 24 hours of the period; the last one also for the hours that follow.
    std::vector<HourlyInputs> cloudy;
    int hours = 240, start_hour = 0;
    std::optional<double> outage_h = std::nullopt;
    std::optional<int> worst_first_day;  ///< of CloudyPeriodKind::worst_of_file, 0 = 1 January
    std::string text;                    ///< sky and outage of the period in words
};

/// Clearness of days in a row, each the global energy of the day divided by that outside the atmosphere, at
/// most 0.8; 0 in a polar night. Days after 31 December are those of January.
std::vector<double> clearness_of_days(weather::WeatherYear const& year, weather::SunYear const& sun,
                                      int first_day, int days);

/// The light on the ground in days in a row of this clearness, as a share of that of a clear sky on the same
/// dates (as CloudyPeriodKind::clear_sky_share); 0 in a polar night.
double clear_sky_share_of(std::vector<double> const& clearness, weather::SunYear const& sun, int first_day);

/// Number of days that the period touches: 84 h are 4.
int days_of(CloudyPeriodInputs const& inputs);

/// A day of the period is the calendar day on which it falls, under another sky: weather::with_cloudy_period
/// changes the light (and halves the daily swing of temperature), and the whole array model is applied to it.
/// A period with any start hour is put together from these days; each hour is what with_cloudy_period and
/// make_inputs give for that sky.
/// Throws std::invalid_argument naming field, value and rule.
CloudyPeriodInputs make_cloudy_period_inputs(scenarios::Scenario const& scenario,
                                             weather::WeatherYear const& year,
                                             CloudyPeriodWeather const& weather);

/// The inputs with the period starting on `first_day` at its start hour. A period that passes the end of the
/// year continues at the beginning of the year.
CheckedInputs with_cloudy_period_on(CloudyPeriodInputs const& inputs, int first_day);

/// Calls `run(i, hours)` for every position i of `first_days`, with the inputs of that start date, which are
/// there for this call only. The calls run on several threads, in any order.
void for_each_start(CloudyPeriodInputs const& inputs, std::vector<int> const& first_days,
                    std::function<void(std::size_t i, CheckedInputs const& hours)> const& run);

/// A battery counts as full again at this state of charge at the end of an hour, because a charge taper never
/// quite ends.
inline constexpr double full_level = 0.99;

/// One start date. Hours count from the beginning of the period; infinity: not within the period, or never.
struct CloudyPeriodStart {
    static constexpr double never = std::numeric_limits<double>::infinity();
    int first_day = 0;
    StoreLevels begins;  ///< what the stores hold when the period begins
    /// The inverter switches off for the first time, to the second, and no backup takes over.
    double power_lost_h = never;
    double first_shortage_h =
        never;  ///< start of the first hour in which some of the demand is not delivered
    LimitReason reason = LimitReason::none;  ///< of that hour
    /// Number of these hours within the period; in the others the tap runs.
    double shortage_hours = 0;
    double water_short_m3 = 0;  ///< demand in the period that was not delivered
    double lowest_level = 1;    ///< state of charge at the end of an hour, within the period
    double generator_h = 0, generator_fuel_l = 0, grid_kwh = 0;  ///< within the period
    /// From the end of the period to the end of the first hour with the battery at full_level or more, the
    /// cistern at cistern_full_m3 or more and the trough at trough_full_m3 or more. Infinity: not within a
    /// whole year.
    double full_again_h = 0;
    /// After the period, until everything is full again, at most 45 days: time from the end of the period to
    /// the start of the first hour short of water, and the number of such hours.
    double dry_after_h = never, dry_hours_after = 0;
};

struct CloudyPeriodOutcome {
    std::vector<CloudyPeriodStart> starts;
    /// Share of the start dates without an hour short of water in the first n days, n = 1 .. the days that
    /// the period touches; the last value is for the whole period.
    std::vector<double> survival;
    /// Order, worst first: earlier shortage of water (in the period or after it), then earlier loss of power,
    /// lower SOC, longer time until full again.
    std::size_t worst = 0;
};

/// How long a start date is followed.
enum class FollowUntil {
    both_lost,   ///< until water and power are lost, or to the end of the period; `shortage_hours`,
                 ///< `water_short_m3`, `lowest_level`, generator and grid are not those of the whole period
    period_end,  ///< the result says nothing of the time after the period
    full_again,
};

/// Runs the period from every start date. Each run begins with what is stored at that hour of the year
/// (`levels`, see start_levels) and the pressure tank at cut-out. One run gives the answer for every shorter
/// period too: its first n days are the period of n days.
CloudyPeriodOutcome run_cloudy_periods(System const& system, CloudyPeriodInputs const& inputs,
                                       std::vector<int> const& first_days,
                                       std::vector<StoreLevels> const& levels,
                                       FollowUntil until = FollowUntil::full_again);
/// Until the first hour short of water in the hours of the clock [h]; infinity: none.
double first_shortage_h(System const& system, CheckedInputs const& hours, Clock const& clock);
/// The same in the period, from every start date.
std::vector<double> first_shortages_h(System const& system, CloudyPeriodInputs const& inputs,
                                      std::vector<int> const& first_days,
                                      std::vector<StoreLevels> const& levels);

/// The hours of one start date, with up to `days_after` days after the period, for plotting: at most a year.
RunResult run_one_cloudy_period(System const& system, CloudyPeriodInputs const& inputs, int first_day,
                                std::vector<StoreLevels> const& levels, int days_after);

/// The result of a period of the same length, start hour and outage under other skies.
struct CloudyPeriodByClearness {
    double clearness = 0;
    double wet = 1;  ///< share of the start dates without an hour short of water
    double worst_until_shortage_h =
        CloudyPeriodStart::never;  ///< to the first hour short of water, worst start date
};
/// Clearness 0, 0.05, .. 0.5.
std::vector<CloudyPeriodByClearness> cloudy_periods_by_clearness(
    System const& system, scenarios::Scenario const& scenario, weather::WeatherYear const& year,
    CloudyPeriodWeather weather, std::vector<int> const& first_days, std::vector<StoreLevels> const& levels);

/// When the inverter switches off for the first time, to the second, counted like the times of the events
/// [h]; infinity: never.
double inverter_off_h(std::span<Event const> events);

/// All 365 days of the year.
std::vector<int> every_start_day();

/// Without backup: only sun and battery.
System without_backup(System system);
/// More (or less) of the same battery in parallel: capacity, power limits and conductance times `factor`.
System with_battery_factor(System system, double factor);
/// A larger (or smaller) array of the same kind, with controllers in proportion.
System with_array_factor(System system, double factor);

/// A larger (or smaller) cistern of the same height: the volume above dead volume and reserve times `factor`.
/// Pre: there is a cistern.
System with_cistern_factor(System system, double factor);

/// The same period with a generator that starts at once, never fails and has unlimited fuel and power. It
/// uses the SOC levels of the design's own generator. If the design has none, it is called when a tenth of
/// the usable charge is left, and charges to 80 %. It charges with the design's charger or, if there is none,
/// with one that charges a fifth of the capacity per hour.
struct BridgingGenerator {
    double transfer_below = 0, charge_to = 0, charger_w = 0;
    bool assumed_charger = false;
    CloudyPeriodOutcome outcome;
    double most_h = 0;  ///< generator hours within the period, from the start date that needs most
    int most_first_day = 0;
    double mean_h = 0;  ///< over the start dates
};
BridgingGenerator bridge_with_generator(System const& system, CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days,
                                        std::vector<StoreLevels> const& levels);

}  // namespace holdwater::sim
