#pragma once

#include <array>
#include <limits>
#include <string>
#include <vector>

namespace holdwater::models {

/// One AC load besides the pump.
struct SmallLoad {
    std::string name;
    double power_w = 0;                ///< while it runs [W], >= 0
    std::array<double, 24> profile{};  ///< share of each hour of the day in which it runs [-], [0, 1]
    double power_factor = 1;           ///< while it runs, lagging [-], (0, 1]
    double surge_va = 0;               ///< at its start [VA], >= 0; 0: negligible
    int priority = 0;                  ///< higher numbers are shed first
    double phantom_w = 0;              ///< draw while it does not run, unless shed [W], >= 0
    friend bool operator==(SmallLoad const&, SmallLoad const&) = default;
};

/// The loads of one hour of the day added up.
struct HourLoad {
    double power_w = 0;       ///< mean real power [W]
    double reactive_var = 0;  ///< mean reactive power, lagging positive [var]
    double surge_va = 0;      ///< largest single start that can occur in this hour [VA]
};

using DayLoad = std::array<HourLoad, 24>;

/// Throws ParameterError naming the load and the field.
void validate(std::vector<SmallLoad> const& loads);

/// Hour-by-hour total of the loads that are not shed: those with priority <= keep_priority.
///   P_h = sum of profile_h power + (1 - profile_h) phantom;   Q_h = sum of profile_h power tan(acos pf)
/// Phantom draw has power factor 1. This is computed once; the year loop only reads it.
DayLoad day_load(std::vector<SmallLoad> const& loads, int keep_priority = std::numeric_limits<int>::max());

/// Energy of the loads over a day [kWh].
double day_energy_kwh(DayLoad const& day);

}  // namespace holdwater::models
