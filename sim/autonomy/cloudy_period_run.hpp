#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// How dull the days of a cloudy period are.
enum class CloudyPeriodKind {
    clearness,        ///< days of given clearness
    clear_sky_share,  ///< each day at a share of its own clear sky (Ineichen & Perez, Linke turbidity 3)
    worst_of_file,    ///< the clearness, day by day, of the poorest run of so many days for this array
};

struct CloudyPeriodWeather {
    CloudyPeriodKind kind = CloudyPeriodKind::clearness;
    /// Clearness 0 .. 0.8, or share of the clear sky 0 .. 1: the first for the first 24 hours, the second for
    /// the next 24, the last for all that follow. Of the poorest run: not used.
    std::vector<double> values{0.12};
    int hours = 240;     ///< 1 .. 1440
    int start_hour = 0;  ///< hour of the day at which it begins, 0 .. 23
    std::optional<double> outage_h =
        std::nullopt;  ///< the grid is away from its beginning for so long, > 0 .. hours; it
                       ///< takes the place of the design's own outages
};

/// The year's own hours, and what each of its days would be as day 1, 2, .. of the period.
struct CloudyPeriodInputs {
    HourlyInputs own;
    std::vector<HourlyInputs> dull;  ///< one for each 24 hours of the period; the last also for what follows
    int hours = 240, start_hour = 0;
    std::optional<double> outage_h = std::nullopt;
    std::optional<int> worst_first_day;  ///< of CloudyPeriodKind::worst_of_file, 0 = 1 January
    std::string text;                    ///< the period's sky and outage in words
};

/// Days begun by the period: 84 h are 4.
int days_of(CloudyPeriodInputs const& inputs);

/// A day of the period is the calendar day it falls on under another sky: weather::with_cloudy_period for the
/// light (and half the swing of temperature), the whole array model on top. Whatever hour it starts, a period
/// is put together from these, hour for hour what with_cloudy_period and make_inputs give for that sky.
/// Throws std::invalid_argument naming field, value and rule.
CloudyPeriodInputs make_cloudy_period_inputs(scenarios::Scenario const& scenario,
                                             weather::WeatherYear const& year,
                                             CloudyPeriodWeather const& weather);

/// The inputs with the period starting on `first_day` at its hour; it may pass the end of the year into its
/// start.
CheckedInputs with_cloudy_period_on(CloudyPeriodInputs const& inputs, int first_day);

/// A battery is full again at this state of charge at the end of an hour; a tapering one never quite ends.
inline constexpr double full_level = 0.99;

/// One start date. Hours count from the beginning of the period; infinity: not within it, or never.
struct CloudyPeriodStart {
    static constexpr double never = std::numeric_limits<double>::infinity();
    int first_day = 0;
    StoreLevels begins;           ///< what the stores hold when the period begins
    double power_lost_h = never;  ///< inverter off for the first time, to the second; no backup took over
    double first_shortage_h =
        never;  ///< start of the first hour in which some of the water wanted did not come
    LimitReason reason = LimitReason::none;  ///< of that hour
    double shortage_hours = 0;               ///< such hours within the period; the tap runs in the others
    double water_short_m3 = 0;               ///< water wanted in the period that did not come
    double lowest_level = 1;                 ///< state of charge at an hour's end, within the period
    double generator_h = 0, generator_fuel_l = 0, grid_kwh = 0;  ///< within the period
    /// From the period's end to the end of the first hour with the battery at full_level or more, the cistern
    /// at cistern_full_m3 or more and the trough at trough_full_m3 or more. Infinity: not in the rest of a
    /// whole year.
    double full_again_h = 0;
    /// What follows the period, until full again, at most 45 days: from its end to the start of the first
    /// hour short of water, and how many hours are.
    double dry_after_h = never, dry_hours_after = 0;
};

struct CloudyPeriodOutcome {
    std::vector<CloudyPeriodStart> starts;
    /// Share of the starts with no hour short of water in the first n days, n = 1 .. the days begun; the last
    /// speaks of the whole period.
    std::vector<double> survival;
    /// Short of water first, in the period or after it; then power lost first, lowest level, longest way to
    /// full.
    std::size_t worst = 0;
};

/// Runs the period from every start date, each a run of its own that begins with the stores at `levels` of
/// that hour of the year (see start_levels) and the pressure tank at cut-out. One run gives every length up
/// to the period's: its first n days are the period of n days. Without `to_full` the runs end with the period
/// and nothing is said of what follows it.
CloudyPeriodOutcome run_cloudy_periods(System const& system, CloudyPeriodInputs const& inputs,
                                       std::vector<int> const& first_days,
                                       std::vector<StoreLevels> const& levels, bool to_full = true);
/// The hours of one start, with up to `days_after` days beyond the period, for plotting: at most a year.
RunResult run_one_cloudy_period(System const& system, CloudyPeriodInputs const& inputs, int first_day,
                                std::vector<StoreLevels> const& levels, int days_after);

/// What a period of the same length, hour and outage does under other skies.
struct CloudyPeriodByClearness {
    double clearness = 0;
    double wet = 1;  ///< share of the start dates with no hour short of water
    double worst_until_shortage_h =
        CloudyPeriodStart::never;  ///< to the first hour short of water from the worst of them
};
/// Clearness 0, 0.05, .. 0.5.
std::vector<CloudyPeriodByClearness> cloudy_periods_by_clearness(
    System const& system, scenarios::Scenario const& scenario, weather::WeatherYear const& year,
    CloudyPeriodWeather weather, std::vector<int> const& first_days, std::vector<StoreLevels> const& levels);

/// From the run's beginning to the inverter's first stop, to the second [h]; infinity: never.
double power_lost_h(RunResult const& result);

/// All 365.
std::vector<int> every_start_day();

/// No backup: what sun and battery do alone.
System without_backup(System system);
/// More (or less) of the same battery side by side: capacity, power limits and conductance times `factor`.
System with_battery_factor(System system, double factor);
/// A larger (or smaller) array of the same kind, with controllers in proportion.
System with_controller_factor(System system, double factor);
CloudyPeriodInputs with_array_factor(CloudyPeriodInputs inputs, double factor);

/// A larger (or smaller) cistern of the same height: what lies above dead water and reserve times `factor`.
/// Pre: there is a cistern.
System with_cistern_factor(System system, double factor);

/// What least_*_factor ask: the design, whether its backup is there, and how the period begins. The stores
/// begin where the typical year of the changed design has them.
struct CloudyPeriodQuestion {
    System const& design;
    bool with_backup = true;
    CloudyPeriodInputs const& inputs;
    std::vector<int> const& first_days;
    NamedLevels named{};
};

/// Sizes are tried up to so many times the design's own.
inline constexpr double largest_factor = 64;

/// Least factor on battery, array or cistern with which no start date is short of water in the period, to
/// 0.5 %; nothing when not even largest_factor is enough. Bisection: where a restart level makes a larger
/// battery worse for a while (hysteresis) it finds one such boundary, not always the least. A level of the
/// cistern that is named stays the same share of its usable water.
std::optional<double> least_battery_factor(CloudyPeriodQuestion const& question);
std::optional<double> least_array_factor(CloudyPeriodQuestion const& question);
std::optional<double> least_cistern_factor(CloudyPeriodQuestion const& question);

/// The same period with a generator that starts at once, never fails, has fuel and power without limit.
/// It keeps the levels of the design's own generator; else it is called with a tenth of the usable charge
/// left and charges to 80 %. It charges with the design's charger or, when there is none, with one of a fifth
/// of the capacity per hour.
struct BridgingGenerator {
    double transfer_below = 0, charge_to = 0, charger_w = 0;
    bool assumed_charger = false;
    CloudyPeriodOutcome outcome;
    double most_h = 0;  ///< generator hours within the period, from the neediest start date
    int most_first_day = 0;
    double mean_h = 0;  ///< over the start dates
};
BridgingGenerator bridge_with_generator(System const& system, CloudyPeriodInputs const& inputs,
                                        std::vector<int> const& first_days,
                                        std::vector<StoreLevels> const& levels);

}  // namespace holdwater::sim
