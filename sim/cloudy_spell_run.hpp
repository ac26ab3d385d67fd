#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/scenario.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// How dull the days of a spell are.
enum class SpellKind {
    clearness,        ///< every day at one clearness
    clear_sky_share,  ///< every day at a share of its own clear sky (Ineichen & Perez, Linke turbidity 3)
    poorest_of_year,  ///< the clearness, day by day, of the poorest run of so many days for this array
};

struct SpellWeather {
    SpellKind kind = SpellKind::clearness;
    double value = 0.12;  ///< clearness 0 .. 0.8, or share of the clear sky 0 .. 0.6; else not used
    int days = 10;        ///< 1 .. 60
};

/// The year's own hours, and what each of its days would be as day 1, 2, .. of the spell.
struct SpellInputs {
    HourlyInputs own;
    std::vector<HourlyInputs> dull;  ///< one for each day of the spell, or one for all of them
    int days = 10;
    std::optional<int> poorest_first_day;  ///< of SpellKind::poorest_of_year, 0 = 1 January
    std::string text;                      ///< the spell in words
};

/// A spell's day is the calendar day it falls on under another sky: weather::with_spell for the light (and
/// half the swing of temperature), the whole array model on top. Whatever day it starts, a spell is put
/// together from these, hour for hour what with_spell and make_inputs give for that start.
/// Throws std::invalid_argument naming field, value and rule.
SpellInputs make_spell_inputs(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                              SpellWeather const& weather);

/// The inputs with the spell starting on `first_day`; it may pass the end of the year into its start.
HourlyInputs with_spell_on(SpellInputs const& inputs, int first_day);

/// "Full again" is this state of charge at the end of an hour; a tapering bank never quite ends.
inline constexpr double full_level = 0.99;

/// One start day. Hours count from 00:00 of the spell's first day; infinity: not within the spell, or never.
struct SpellStart {
    static constexpr double never = std::numeric_limits<double>::infinity();
    int first_day = 0;
    double power_lost_h = never;  ///< inverter off for the first time, to the second; no backup took over
    double first_dry_h = never;   ///< start of the first hour in which wanted water did not come
    LimitReason reason = LimitReason::none;  ///< of that hour
    double dry_hours = 0;                    ///< within the spell; the tap runs in the others
    double lowest_level = 1;                 ///< state of charge at an hour's end, within the spell
    double generator_h = 0, generator_fuel_l = 0, grid_kwh = 0;  ///< within the spell
    double full_again_h = 0;  ///< from the spell's end; infinity: not in the rest of a whole year
};

struct SpellOutcome {
    std::vector<SpellStart> starts;
    std::vector<double>
        survival;           ///< share of the starts with no dry hour in the first n days, n = 1 .. days
    std::size_t worst = 0;  ///< dry first; then power lost first, lowest level, longest way to full
};

/// Runs the spell from every start day, each a run of its own with the bank at system.start_soc and the tank
/// at cut-out. One run gives every length up to the spell's: its first n days are the n-day spell.
/// Water that is short after the spell's last day is not counted. Without `to_full` the runs end with the
/// spell and full_again_h stays 0.
SpellOutcome run_spells(System const& system, SpellInputs const& inputs, std::vector<int> const& first_days,
                        bool to_full = true);
/// The hours of one start, with up to `days_after` days beyond the spell, for plotting: at most a year.
RunResult run_one_spell(System const& system, SpellInputs const& inputs, int first_day, int days_after);

/// What a spell of the same length does under other skies.
struct SpellByClearness {
    double clearness = 0;
    double wet = 1;                          ///< share of the start days with no dry hour
    double worst_wet_h = SpellStart::never;  ///< to the first dry hour from the worst of them
};
/// Clearness 0, 0.05, .. 0.5.
std::vector<SpellByClearness> spells_by_clearness(System const& system, scenarios::Scenario const& scenario,
                                                  weather::WeatherYear const& year, int days,
                                                  std::vector<int> const& first_days);

/// All 365.
std::vector<int> every_start_day();

/// No backup: what sun and bank do alone.
System without_backup(System system);
/// More (or less) of the same bank side by side: capacity, power limits and conductance times `factor`.
System with_bank_factor(System system, double factor);
/// A larger (or smaller) array of the same kind, with controllers in proportion.
System with_controller_factor(System system, double factor);
SpellInputs with_array_factor(SpellInputs inputs, double factor);

/// Least factor on bank or array with which no start day has a dry hour in the spell, to 0.5 %; nothing when
/// even 64 times is not enough. Bisection: where a restart level makes a larger bank worse for a while
/// (hysteresis) it finds one such boundary, not always the least.
std::optional<double> least_bank_factor(System const& system, SpellInputs const& inputs,
                                        std::vector<int> const& first_days);
std::optional<double> least_array_factor(System const& system, SpellInputs const& inputs,
                                         std::vector<int> const& first_days);

/// The same spell with a generator that starts at once, never fails, has fuel and power without limit.
/// It keeps the levels of the design's own generator; else it is called with a tenth of the usable charge
/// left and charges to 80 %. It charges with the design's charger or, when there is none, with one of a fifth
/// of the capacity per hour.
struct BridgingGenerator {
    double transfer_below = 0, charge_to = 0, charger_w = 0;
    bool assumed_charger = false;
    SpellOutcome outcome;
    double most_h = 0;  ///< generator hours within the spell, from the neediest start day
    int most_first_day = 0;
    double mean_h = 0;  ///< over the start days
};
BridgingGenerator bridge_with_generator(System const& system, SpellInputs const& inputs,
                                        std::vector<int> const& first_days);

}  // namespace holdwater::sim
