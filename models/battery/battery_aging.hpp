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

/// Cycle life against depth: N(D) = a D^-b exp(-g D), g = 0 for the plain power law.
struct CycleLife {
    double a = 0;  ///< [-], > 0
    double b = 0;  ///< [-]
    double g = 0;  ///< [-]
};

/// Least squares on ln N. The plain law needs two rows, the bent one three.
/// Throws ParameterError for too few rows or a life that does not fall with depth.
CycleLife fit_cycle_life(std::vector<CyclesAtDepth> const& rows, bool bent = false);

/// Cycles to end of life at a depth [-]; depths under 0.02 count as 0.02, where no data sheet reaches.
double cycles_to_end(CycleLife const& life, double depth);

/// Share of the life used by counted ranges of state of charge (Palmgren-Miner): sum of count / N(range);
/// ranges under 0.01 are noise. End of life at 1. Leaves out: order, rate, temperature, partial charge.
/// Report life as a range, not a date.
double cycling_damage(CycleLife const& life, std::span<CountedRange const> ranges);

/// How much faster than at 25 deg C the battery ages at rest: 2^((T - 25) / halving). Halved life per 8-10 K
/// for lead-acid (common practice), 10-15 K for lithium iron phosphate (from memory).
double calendar_factor(double temperature_c, double halving_k);

/// Mean of that factor over a history. Not the factor of the mean, which is too kind.
double mean_calendar_factor(std::span<double const> temperature_c, double halving_k);

enum class LifeRule { cycling, calendar, throughput, cycling_and_calendar, none };
std::string_view name(LifeRule rule);

enum class LifeCombination {
    shortest,  ///< the battery goes at the first limit reached
    additive,  ///< cycling and calendar use up one life together: conservative
};

/// One year's use of a battery.
struct YearOfUse {
    double cycling_damage = 0;        ///< share of cycle life [1/y], >= 0
    double calendar_life_y = 0;       ///< at 25 deg C [y], > 0; infinite: left out
    double mean_calendar_factor = 0;  ///< see above [-], > 0
    double discharged_kwh = 0;        ///< delivered from store in the year [kWh/y], >= 0
    double throughput_life_kwh = 0;   ///< [kWh], > 0; infinite: left out
};

/// Years to replacement and the rule that decides.
struct BatteryLife {
    double years = 0;  ///< infinite when nothing wears it
    LifeRule rule{};
    double cycling_y = 0, calendar_y = 0, throughput_y = 0;  ///< each rule alone [y]
};

BatteryLife battery_life(YearOfUse const& use, LifeCombination combination);

/// Capacity left, of new, after a share of the life: 1 - 0.2 damage (life ends at 80 %), not below 0.
double remaining_capacity(double damage);

/// Capacity loss of a lithium iron phosphate cell [%] at C/2 after a discharge throughput [Ah] of the 2 Ah
/// test cell:
///   31630 exp((-31700 + 370.3 / 2) / (8.314 T)) Ah^0.55,   T in K
/// Source: Wang et al., J. Power Sources 196, 2011, 3942-3948 (from memory). It extrapolates far past its
/// test data at 20 %: use only the ratio between temperatures.
double lithium_cell_loss_percent(double throughput_ah, double temperature_c);

/// Throughput [Ah] at which that loss is reached.
double lithium_cell_throughput_ah(double loss_percent, double temperature_c);

}  // namespace holdwater::models
