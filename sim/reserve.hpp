#pragma once

#include <limits>
#include <vector>

#include "scenarios/scenario.hpp"
#include "sim/cloudy_spell_run.hpp"
#include "sim/outage_replay.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Days something lasts, over many starts; infinity: to the end of what was looked at.
struct Lasting {
    double worst_d = std::numeric_limits<double>::infinity();
    double median_d = std::numeric_limits<double>::infinity();  ///< half of the starts last at least so long
    int worst_day = 0;                                          ///< 0 = 1 January
};

/// Worst and median of hours; the first of equals is the worst.
Lasting lasting_of(std::vector<double> const& hours, std::vector<int> const& first_days);

struct LevelLasting {
    double level = 1;  ///< state of charge at the start
    Lasting water;
};

struct ReserveOptions {
    SpellWeather dull{SpellKind::clearness, 0.12, 10};
    double leak_m3_s = 6.30901964e-5;  ///< one US gallon a minute; 0: no leak
    int every_days = 1;                ///< start days so far apart
    int start_hours = 4;               ///< of the start level's sweep: so many times of day, evenly
};

/// How long a design lasts on what it has stored, its backup left out. Every run begins with the bank full
/// (but for `levels`), the pressure tank at cut-out, the cistern as the scenario says.
struct ReserveFigures {
    double bank_kwh = 0, usable_kwh = 0;  ///< nominal; from full to the floor, at the terminals
    double array_kw = 0;
    double water_m3 = 0, water_d = 0;  ///< stored between pump and taps: tank from cut-out down, cistern's
                                       ///< usable band; in days of the busiest day's use
    /// The three kinds of dark days: by hand and hour by hour without sun, hour by hour with reduced sun, the
    /// year's own weather. Power: to the inverter's stop; water: to the first hour with unmet water.
    double by_hand_d = 0;
    Lasting dark_power, dark_water, dull_water, record_water;
    int looked_at_d = 60;     ///< dark and record; the dull spell has its own length
    double full_again_d = 0;  ///< after the dull spell, slowest start; infinity: NEVER within a year
    double never_full = 0;    ///< share of the start days after which it never is
    /// Bank that keeps every start day of the dull spell wet [kWh]; infinite when not even 64 times does.
    double bank_needed_kwh = 0;
    std::vector<LevelLasting> levels;   ///< in the dull spell, over start days and times of day
    Lasting leak_power, no_leak_power;  ///< in the dull spell
    double starts_per_day = 0, leak_starts_per_day = 0;  ///< of the pump, first day of the spells, mean
    /// With the grid as backup, which is then there until it fails: by length, worst first; else empty.
    std::vector<OutageLength> outages;
};

ReserveFigures reserve_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          ReserveOptions const& options);

/// The same design with a leak that never stops, on top of its demand, at the taps.
scenarios::Scenario with_leak(scenarios::Scenario scenario, double leak_m3_s);

/// The design after `years` more of service: the array by its rating's fade, the bank's capacity by the share
/// of its life that is over, 80 % of new at its end (models::remaining_capacity). A bank older than its life
/// has been replaced: it is taken at its end. Without figures of its life it is taken at its end, and
/// `life_assumed` says so. A higher resistance of an old bank is left out.
struct AgedDesign {
    scenarios::Scenario scenario;
    double bank_left = 1, array_left = 1;  ///< of what they are now
    bool life_assumed = false;
};
AgedDesign aged(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double years);

}  // namespace holdwater::sim
