#pragma once

namespace holdwater::models {

/// Hand calculation of the size of a stand-alone system, for comparison with the simulation. It gives a first
/// figure and a check, not a design. The steps follow IEEE 1562 and IEEE 1013 (from memory, in own words).

/// A day that repeats: constant load, and constant sun for some hours.
struct RepeatingDay {
    double load_kw = 0;               ///< constant DC load [kW], >= 0
    double sun_h = 0;                 ///< hours of constant sun a day [h], (0, 24]
    double charge_efficiency = 0;     ///< [-], (0, 1]
    double discharge_efficiency = 0;  ///< [-], (0, 1]
};

/// Throws ParameterError naming the field.
void validate(RepeatingDay const& day);

/// PV energy per day at the DC bus [kWh] that is just enough for the day: the load during sun hours is
/// supplied directly, the load at night through the battery.
double needed_pv_kwh(RepeatingDay const& day);

/// Capacity [kWh] of a battery that carries the load alone for `days` at a depth of discharge [-].
double autonomy_capacity_kwh(RepeatingDay const& day, double days, double depth);

/// Nominal battery capacity [Ah] for a daily load [Ah]: the larger of days x load / depth and
/// load / daily depth, divided by the temperature and end-of-life factors, times a margin.
double sized_battery_ah(double daily_load_ah, double days, double depth, double daily_depth,
                        double temperature_factor, double end_of_life_factor, double margin);

/// Array current [A] at its maximum-power point for a daily load [Ah]: ratio x load / (sun hours x (1 -
/// losses)).
double array_a(double daily_load_ah, double array_to_load, double sun_h, double losses);

/// Days until a battery is full again after a discharge of `removed_ah`:
/// removed / ((array to load - 1) x daily load); infinite for a ratio of 1 or less.
double recharge_days(double removed_ah, double array_to_load, double daily_load_ah);

}  // namespace holdwater::models
