#pragma once

#include <string_view>
#include <vector>

namespace holdwater::models {

/// Fuel rate of a running generator at an output, as in the table of a data sheet.
struct FuelPoint {
    double output_w = 0, l_per_h = 0;
};

/// Parameters of a generator.
struct GeneratorParameters {
    double rated_power_w = 0;          ///< nameplate output [W], > 0
    double fuel_a_l_per_h_kw = 0;      ///< fuel rate at no load, per kW of nameplate [L/h/kW], >= 0
    double fuel_b_l_per_kwh = 0;       ///< fuel per kWh delivered [L/kWh], > 0
    double least_load_fraction = 0;    ///< lowest healthy output divided by nameplate [-], [0, 1)
    double power_factor = 1;           ///< rated watts divided by rated volt-amperes [-], (0, 1]
    double derate_height_m = 0;        ///< elevation up to which it is not derated [m]
    double derate_per_300_m = 0.035;   ///< loss of power per 300 m above that [-]; ask the maker
    double derate_temperature_c = 25;  ///< air temperature up to which it is not derated [deg C]
    double derate_per_5p6_k = 0.01;    ///< loss of power per 5.6 K above that [-]; ask the maker
    double fuel_tank_l = 0;            ///< fuel held when full [L]; 0: not limited
    /// If not empty, this replaces the two fuel figures: two or more points, outputs and rates both rising.
    std::vector<FuelPoint> fuel_table = {};
};

/// Throws ParameterError naming the field.
void validate(GeneratorParameters const& parameters);

/// Fuel rate [L/h] of a running generator at an output [W] >= 0: F = a P_rated + b P_out. Not for a generator
/// that is off. Source of the form: Skarstein & Uhlen, Wind Engineering 13(2), 1989 (from memory). With a
/// fuel table: straight lines between its points; the first and the last line are extended.
inline double fuel_l_per_h(GeneratorParameters const& p, double output_w) {
    auto const& table = p.fuel_table;
    if (table.empty()) return 1e-3 * (p.fuel_a_l_per_h_kw * p.rated_power_w + p.fuel_b_l_per_kwh * output_w);
    std::size_t i = 1;
    while (i + 1 < table.size() && output_w > table[i].output_w) ++i;
    FuelPoint const &low = table[i - 1], &high = table[i];
    return low.l_per_h +
           (output_w - low.output_w) * (high.l_per_h - low.l_per_h) / (high.output_w - low.output_w);
}

/// Whether the fuel rate is one straight line between two outputs [W], so that the rate at the mean output
/// gives the fuel of a whole step.
inline bool fuel_is_straight_between(GeneratorParameters const& p, double a_w, double b_w) {
    double const low_w = a_w < b_w ? a_w : b_w, high_w = a_w < b_w ? b_w : a_w;
    for (std::size_t i = 1; i + 1 < p.fuel_table.size(); ++i)
        if (low_w < p.fuel_table[i].output_w && p.fuel_table[i].output_w < high_w) return false;
    return true;
}

/// Output [W] at a site with linear derating: rated (1 - r_h (h - h0)/300)(1 - r_T (T - T0)/5.6), each factor
/// only above its threshold, never below 0. The form is common practice; makers give different rates.
double site_power_w(GeneratorParameters const& parameters, double height_m, double temperature_c);

/// Lowest healthy output [W] of the generator.
inline double least_load_w(GeneratorParameters const& p) { return p.least_load_fraction * p.rated_power_w; }

}  // namespace holdwater::models
