#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "models/battery/rainflow.hpp"

namespace holdwater::models {

/// A row of a data sheet: cycles of one depth until the battery is down to 80 % of its capacity.
struct CyclesAtDepth {
    double depth = 0;   ///< depth of discharge [-], (0, 1]
    double cycles = 0;  ///< > 0
};

/// Cycle life by depth of discharge: N(D) = a D^-b exp(-g D), with g = 0 for the plain power law.
struct CycleLife {
    double a = 0;  ///< [-], > 0
    double b = 0;  ///< [-]
    double g = 0;  ///< [-]
};

/// Least squares on ln N. The plain power law needs two rows, the law with g (`bent`) needs three.
/// Throws ParameterError for too few rows, or for a life that does not fall with depth.
CycleLife fit_cycle_life(std::vector<CyclesAtDepth> const& rows, bool bent = false);

/// Cycles to end of life at a depth [-]. Depths under 0.02 count as 0.02, because no data sheet goes lower.
double cycles_to_end(CycleLife const& life, double depth);

/// Share of the life used by counted ranges of state of charge (Palmgren-Miner): sum of count / N(range).
/// Ranges under 0.01 are left out as noise. Life ends at 1. Leaves out: order, rate, temperature, partial
/// charge. Report the life as a range, not as a date.
double cycling_damage(CycleLife const& life, std::span<CountedRange const> ranges);

/// How many times faster than at 25 deg C the battery ages at rest: 2^((T - 25) / halving). The life is
/// halved by each 8-10 K for lead-acid (common practice) and each 10-15 K for lithium iron phosphate (from
/// memory).
double calendar_factor(double temperature_c, double halving_k);

/// Mean of that factor over a series of temperatures. The factor of the mean temperature would be too low.
double mean_calendar_factor(std::span<double const> temperature_c, double halving_k);

enum class LifeRule { cycling, calendar, throughput, cycling_and_calendar, none };
std::string_view name(LifeRule rule);

enum class LifeCombination {
    shortest,  ///< the battery is replaced at the first limit that it reaches
    additive,  ///< cycling and calendar aging together use up one life (conservative)
};

/// One year's use of a battery.
struct YearOfUse {
    double cycling_damage = 0;        ///< share of cycle life [1/y], >= 0
    double calendar_life_y = 0;       ///< at 25 deg C [y], > 0; infinite: does not count
    double mean_calendar_factor = 0;  ///< see above [-], > 0
    double discharged_kwh = 0;        ///< delivered by the battery in the year [kWh/y], >= 0
    double throughput_life_kwh = 0;   ///< [kWh], > 0; infinite: does not count
};

/// Years to replacement and the rule that decides.
struct BatteryLife {
    double years = 0;  ///< infinite if nothing wears the battery out
    LifeRule rule{};
    double cycling_y = 0, calendar_y = 0, throughput_y = 0;  ///< by each rule alone [y]
};

BatteryLife battery_life(YearOfUse const& use, LifeCombination combination);

/// Remaining capacity as a share of new, after a share of the life: 1 - 0.2 damage (life ends at 80 %), not
/// below 0.
double remaining_capacity(double damage);

}  // namespace holdwater::models
