#pragma once

namespace holdwater::models {

/// Cell temperature of standard test conditions, 25 C, and Boltzmann's constant (exact in the SI since 2019;
/// to 10 digits).
inline constexpr double reference_k = 298.15, boltzmann_ev_per_k = 8.617333262e-5;

/// One module as a current source driven by light, one diode, a shunt and a series resistor; De Soto, Klein &
/// Beckman 2006, Solar Energy 80, 78 (from memory; the equations are consistent with each other):
///   I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs)/Rsh,   a = cells x n k T/q
/// The values here hold at 1000 W/m2 and 25 C cell; translate() converts them to S, T (T0 = 298.15 K):
///   a = a0 T/T0;  Eg = Eg0 (1 - 0.0002677 (T - T0));  I0 = I00 (T/T0)^3 exp((Eg0/T0 - Eg/T)/k)
///   IL = S/1000 (IL0 + alpha (T - T0));  Rsh = Rsh0 1000/S;  Rs constant;  k = 8.617333262e-5 eV/K
/// Holds for crystalline silicon under one uniform irradiance. Leaves out: the air-mass modifier (set to 1),
/// partial shade with bypass diodes, reverse current (a blocking element makes it 0), recombination in weak
/// light. Sign: current and power are positive out of the module. Below 1 W/m2 everything is zero.
struct SingleDiodeParameters {
    double a_v = 1.85;                         // 0.01 .. 50
    double light_current_a = 10.20;            // 0.01 .. 100
    double saturation_current_a = 3e-11;       // 1e-30 .. IL0/10000
    double series_ohm = 0.30;                  // 0 .. such that Rs IL0 <= a ln(IL0/I00)
    double shunt_ohm = 300.0;                  // a ln(IL0/I00)/IL0 .. 1e9
    double alpha_a_per_k = 0.0051;             // of the short-circuit current; |alpha| <= 0.5 % of IL0 per K
    double band_gap_ev = 1.121;                // 0.5 .. 2, at 25 C; crystalline silicon
    double band_gap_slope_per_k = -0.0002677;  // -0.001 .. 0.001, relative
    friend bool operator==(SingleDiodeParameters const&, SingleDiodeParameters const&) = default;
};

void validate(SingleDiodeParameters const&);

/// The same curve at one irradiance and cell temperature. light_current_a = 0 means dark.
struct DiodeCurve {
    double a_v = 1, light_current_a = 0, saturation_current_a = 0, series_ohm = 0, shunt_ohm = 1;
};

/// cell_c -100 .. 150 C, effective_w_m2 0 .. 2000.
DiodeCurve translate(SingleDiodeParameters const&, double effective_w_m2, double cell_c);

struct MaximumPowerPoint {
    double voltage_v = 0, current_a = 0, power_w = 0;
};

/// Current at a voltage >= 0, explicit with the Lambert W function (Jain & Kapoor 2004), in logarithms where
/// its argument would overflow. 0 above the open-circuit voltage. It solves the equation to within a few
/// rounding errors of its largest term.
double current_a(DiodeCurve const&, double voltage_v);
double short_circuit_current_a(DiodeCurve const&);
/// Root of the current as a function of the diode voltage, bracketed. At open circuit no current flows
/// through Rs.
double open_circuit_voltage_v(DiodeCurve const&);
/// Root of dP/dVd as a function of the diode voltage Vd, bracketed in [Voc/2, Voc]: the curve I(V) is
/// concave, so the maximum is never below Voc/2. It cannot diverge.
MaximumPowerPoint maximum_power_point(DiodeCurve const&);
/// The same with the open-circuit voltage already known.
MaximumPowerPoint maximum_power_point(DiodeCurve const&, double open_circuit_v);

inline MaximumPowerPoint maximum_power_point(SingleDiodeParameters const& p, double effective_w_m2,
                                             double cell_c) {
    return maximum_power_point(translate(p, effective_w_m2, cell_c));
}

}  // namespace holdwater::models
