#pragma once

#include <cmath>
#include <limits>
#include <vector>

namespace holdwater::models {

/// Parameters of the temperature of a battery.
struct BatteryThermalParameters {
    double time_constant_h = 0;      ///< of the lag behind its surroundings [h], >= 0; 6-24 h common practice
    double heater_w = 0;             ///< power of the heater when on [W], >= 0; 20-150 W common practice
    double heater_rise_k_per_w = 0;  ///< steady rise above the surroundings per watt of heater [K/W], >= 0
    double heater_on_below_c = 3;    ///< thermostat [deg C]
    double heater_off_above_c = 7;   ///< thermostat [deg C], above heater_on_below_c
};

/// Throws ParameterError naming the field.
void validate(BatteryThermalParameters const& parameters);

/// The battery follows the temperature of its surroundings with a first-order lag, heater included:
///   dT/dt = (T_s - T) / tau,   T_s = ambient + rise_per_watt * heat
///   T(t) = T_s + (T_0 - T_s) exp(-t / tau), exact for constant surroundings.
/// Source: lumped heat balance. Leaves out: heat from the losses of the battery, gradients inside it.
inline double temperature_after_c(double from_c, double settled_c, double time_constant_h, double hours) {
    if (time_constant_h == 0) return settled_c;
    return settled_c + (from_c - settled_c) * std::exp(-hours / time_constant_h);
}

/// Temperature [deg C] at which the battery settles with the heater on or off.
inline double settled_temperature_c(BatteryThermalParameters const& p, double ambient_c, bool heater_on) {
    return ambient_c + (heater_on ? p.heater_w * p.heater_rise_k_per_w : 0);
}

/// First time [h] >= 0 at which the temperature is `level_c`; 0 if now, infinity if never.
inline double hours_until_temperature(double from_c, double settled_c, double time_constant_h,
                                      double level_c) {
    if (from_c == level_c) return 0;
    double const share = (level_c - from_c) / (settled_c - from_c);
    if (!(share > 0 && share < 1)) return std::numeric_limits<double>::infinity();
    return -time_constant_h * std::log1p(-share);
}

/// Whether the thermostat turns the heater on, given whether it was on.
inline bool heater_on(BatteryThermalParameters const& p, bool was_on, double temperature_c) {
    if (p.heater_w == 0) return false;
    return was_on ? temperature_c < p.heater_off_above_c : temperature_c < p.heater_on_below_c;
}

/// When a battery refuses charge because of its temperature.
struct ChargeTemperatureRule {
    double refuse_below_c = -std::numeric_limits<double>::infinity();
    double resume_above_c = -std::numeric_limits<double>::infinity();  ///< >= refuse_below_c
    double refuse_above_c = std::numeric_limits<double>::infinity();
    double resume_below_c = std::numeric_limits<double>::infinity();   ///< <= refuse_above_c
    double slow_below_c = -std::numeric_limits<double>::infinity();    ///< below this: at slow_rate only
    double slow_rate_per_h = std::numeric_limits<double>::infinity();  ///< share of capacity per hour [1/h]
};

/// Throws ParameterError naming the field.
void validate(ChargeTemperatureRule const& rule);

/// Whether charge is refused, given whether it was: refusal ends only beyond the resume temperatures.
inline bool charge_refused(ChargeTemperatureRule const& r, bool was_refused, double temperature_c) {
    if (temperature_c < r.refuse_below_c || temperature_c > r.refuse_above_c) return true;
    return was_refused && (temperature_c < r.resume_above_c || temperature_c > r.resume_below_c);
}

/// Charge limit by temperature [1/h, share of capacity per hour] while charge is not refused.
inline double charge_rate_limit_per_h(ChargeTemperatureRule const& r, double temperature_c) {
    return temperature_c < r.slow_below_c ? r.slow_rate_per_h : std::numeric_limits<double>::infinity();
}

/// Lithium iron phosphate, from memory. It refuses charge below 0 deg C and accepts it again from 4 deg C (3
/// to 5). It refuses charge above 50 deg C (45 to 55) and accepts it again below 45. Below 10 deg C it
/// accepts 0.15 of capacity per hour (0.1 to 0.2).
ChargeTemperatureRule lithium_iron_phosphate_charge_rule();

/// Available capacity at a temperature, as a share of that at 25 deg C.
struct CapacityAtTemperature {
    double temperature_c = 0;
    double factor = 0;  ///< [-], (0, 1.1]
};

/// Throws ParameterError naming the field.
void validate(std::vector<CapacityAtTemperature> const& table);

/// Factor for the capacity, linear between the rows and constant beyond the ends; 1 for an empty table.
double capacity_factor(std::vector<CapacityAtTemperature> const& table, double temperature_c);

/// Tables from memory: lead-acid at slow rates, lithium iron phosphate on discharge.
std::vector<CapacityAtTemperature> lead_acid_capacity_table();
std::vector<CapacityAtTemperature> lithium_iron_phosphate_capacity_table();

}  // namespace holdwater::models
