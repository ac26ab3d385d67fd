#pragma once

#include <string_view>

namespace holdwater::models {

/// Parameters of a generator set.
struct GeneratorParameters {
    double rated_power_w;              ///< nameplate output [W], > 0
    double fuel_a_l_per_h_kw;          ///< fuel of running at all, per kW of nameplate [L/h/kW], >= 0
    double fuel_b_l_per_kwh;           ///< fuel per kWh delivered [L/kWh], > 0
    double min_load_ratio = 0;         ///< least healthy output over nameplate [-], [0, 1)
    double power_factor = 1;           ///< rated watts over rated volt-amperes [-], (0, 1]
    double derate_height_m = 0;        ///< height above sea level up to which it is not derated [m]
    double derate_per_300_m = 0.035;   ///< loss of power per 300 m above that [-]; ask the maker
    double derate_temperature_c = 25;  ///< air temperature up to which it is not derated [deg C]
    double derate_per_5p6_k = 0.01;    ///< loss of power per 5.6 K above that [-]; ask the maker
    double fuel_tank_l = 0;            ///< fuel held when full [L]; 0: not limited
};

/// Throws ParameterError naming the field.
void validate(GeneratorParameters const& parameters);

/// Fuel rate [L/h] of a running set at an output [W] >= 0: F = a P_rated + b P_out. Off is 0: do not call.
/// Source of the form: Skarstein & Uhlen, Wind Engineering 13(2), 1989 (from memory).
inline double fuel_l_per_h(GeneratorParameters const& p, double output_w) {
    return 1e-3 * (p.fuel_a_l_per_h_kw * p.rated_power_w + p.fuel_b_l_per_kwh * output_w);
}

/// Output [W] left at a site, linear derating: rated (1 - r_h (h - h0)/300)(1 - r_T (T - T0)/5.6), each
/// only above its threshold, never below 0. Common practice: the rates are the maker's and they differ.
double site_power_w(GeneratorParameters const& parameters, double height_m, double temperature_c);

}  // namespace holdwater::models
