#pragma once

#include <string_view>
#include <vector>

namespace holdwater::models {

/// Fuel rate of a running generator at an output, as a data sheet's table has it.
struct FuelPoint {
    double output_w = 0, l_per_h = 0;
};

/// Parameters of a generator set.
struct GeneratorParameters {
    double rated_power_w = 0;          ///< nameplate output [W], > 0
    double fuel_a_l_per_h_kw = 0;      ///< fuel of running at all, per kW of nameplate [L/h/kW], >= 0
    double fuel_b_l_per_kwh = 0;       ///< fuel per kWh delivered [L/kWh], > 0
    double least_load_fraction = 0;    ///< least healthy output over nameplate [-], [0, 1)
    double power_factor = 1;           ///< rated watts over rated volt-amperes [-], (0, 1]
    double derate_height_m = 0;        ///< height above sea level up to which it is not derated [m]
    double derate_per_300_m = 0.035;   ///< loss of power per 300 m above that [-]; ask the maker
    double derate_temperature_c = 25;  ///< air temperature up to which it is not derated [deg C]
    double derate_per_5p6_k = 0.01;    ///< loss of power per 5.6 K above that [-]; ask the maker
    double fuel_tank_l = 0;            ///< fuel held when full [L]; 0: not limited
    /// In place of the two fuel figures where not empty: two or more points, outputs and rates both rising.
    std::vector<FuelPoint> fuel_table = {};
};

/// Throws ParameterError naming the field.
void validate(GeneratorParameters const& parameters);

/// Fuel rate [L/h] of a running set at an output [W] >= 0: F = a P_rated + b P_out. Off is 0: do not call.
/// Source of the form: Skarstein & Uhlen, Wind Engineering 13(2), 1989 (from memory). With a fuel table:
/// straight lines between its points, the first and the last line going on beyond them.
inline double fuel_l_per_h(GeneratorParameters const& p, double output_w) {
    auto const& table = p.fuel_table;
    if (table.empty()) return 1e-3 * (p.fuel_a_l_per_h_kw * p.rated_power_w + p.fuel_b_l_per_kwh * output_w);
    std::size_t i = 1;
    while (i + 1 < table.size() && output_w > table[i].output_w) ++i;
    FuelPoint const &low = table[i - 1], &high = table[i];
    return low.l_per_h +
           (output_w - low.output_w) * (high.l_per_h - low.l_per_h) / (high.output_w - low.output_w);
}

/// Whether the fuel rate is one straight line from the one output to the other [W], so that the fuel of a
/// time is the rate at its mean output.
inline bool fuel_is_straight_between(GeneratorParameters const& p, double a_w, double b_w) {
    double const low_w = a_w < b_w ? a_w : b_w, high_w = a_w < b_w ? b_w : a_w;
    for (std::size_t i = 1; i + 1 < p.fuel_table.size(); ++i)
        if (low_w < p.fuel_table[i].output_w && p.fuel_table[i].output_w < high_w) return false;
    return true;
}

/// Output [W] left at a site, linear derating: rated (1 - r_h (h - h0)/300)(1 - r_T (T - T0)/5.6), each
/// only above its threshold, never below 0. Common practice: the rates are the maker's and they differ.
double site_power_w(GeneratorParameters const& parameters, double height_m, double temperature_c);

/// Output [W] left at a site by the correction for naturally aspirated diesels, capped at the rating:
///   rated / CF,  CF = 1.175 (29.2 / B) (T_R / 537)^0.75 - 0.175,  B dry barometer [inHg], T_R = deg F + 460
/// with B from the standard atmosphere, 101.325 (1 - 2.25577e-5 h)^5.25588 kPa. A form of the ISO 3046 kind
/// seen in a public rating appendix. Holds for: heights below 5000 m.
double site_power_by_correction_w(GeneratorParameters const& parameters, double height_m,
                                  double temperature_c);

enum class Fuel { gasoline, propane, diesel };

/// Lower heating value [kWh/L]: 116 090, 84 250 and 128 450 Btu per US gallon (fuel properties table of the
/// US DOE Alternative Fuels Data Center; conversions recomputed).
double heating_value_kwh_per_l(Fuel fuel);

/// Engine and alternator efficiency [-] at an output [W], on the lower heating value.
double generator_efficiency(GeneratorParameters const& parameters, Fuel fuel, double output_w);

/// Sets a and b of the fuel line from the fuel rates [L/h] at half and full output of the nameplate.
/// Throws ParameterError when they imply a negative a or an efficiency at full output outside 0.10-0.40.
GeneratorParameters with_fuel_points(GeneratorParameters parameters, Fuel fuel, double half_l_per_h,
                                     double full_l_per_h);

/// Output [W] the set must have to stay at its least healthy load; below it, charge more, dump or flag.
inline double least_load_w(GeneratorParameters const& p) { return p.least_load_fraction * p.rated_power_w; }

/// Fuel lines from memory, placeholders until there are two points of a data sheet. A diesel of the
/// Skarstein & Uhlen kind: a 0.08415, b 0.246; gasoline portable about 5 kW: 0.18, 0.40; propane air-cooled
/// about 10 kW: 0.15, 0.54. Least load ratios common practice: diesel 0.30, spark 0.15.
GeneratorParameters usual_generator(Fuel fuel, double rated_power_w);

}  // namespace holdwater::models
