#pragma once

#include <cmath>
#include <limits>
#include <vector>

namespace holdwater::models {

/// An open-circuit voltage after a rest.
struct VoltagePoint {
    double soc = 0;    ///< state of charge [-], [0, 1]
    double volts = 0;  ///< open-circuit voltage at rest [V]
};

/// Parameters of the terminal voltage of a battery.
struct BatteryVoltageParameters {
    std::vector<VoltagePoint> open_circuit;  ///< of the whole battery, both columns rising, from soc 0 to 1
    double resistance_ohm = 0;               ///< over minutes to an hour, whole battery [ohm], >= 0
};

/// Terminal voltage and current at a power.
struct Terminal {
    double volts = 0;        ///< [V]; 0 if collapsed
    double amps = 0;         ///< > 0 discharges [A]; infinite if collapsed
    bool collapsed = false;  ///< the battery cannot deliver this power at any current; the inverter trips
};

/// Throws ParameterError naming the field.
void validate(BatteryVoltageParameters const& parameters);

/// Terminal voltage of a battery: a source behind a resistance.
///   V = E(soc) - I R;  at constant power P: V = (E + sqrt(E^2 - 4 P R)) / 2, I = P / V;
///   highest power E^2 / (4 R), above which the voltage collapses.
/// Source: Ohm's law. Holds for: slow changes of a battery near rest. Leaves out: surface charge, dependence
/// of E on rate and temperature. When this model is on, the efficiencies of the battery must be coulombic
/// only; otherwise the resistive loss is counted twice. Sign: power and current > 0 discharge.

inline Terminal terminal_at_power(double open_circuit_v, double resistance_ohm, double power_w) {
    double const square = open_circuit_v * open_circuit_v - 4 * power_w * resistance_ohm;
    if (!(square >= 0)) return {0, std::numeric_limits<double>::infinity(), true};
    double const volts = (open_circuit_v + std::sqrt(square)) / 2;
    return {volts, volts > 0 ? power_w / volts : 0, false};
}

/// Open-circuit voltage [V] at a state of charge, linear between the rows and constant beyond the ends.
double open_circuit_v(BatteryVoltageParameters const& parameters, double soc);

/// The inverse: state of charge [-] at an open-circuit voltage; 0 or 1 outside the table.
double soc_at_open_circuit(BatteryVoltageParameters const& parameters, double volts);

/// Terminal voltage and current at a state of charge and power [W].
inline Terminal terminal(BatteryVoltageParameters const& p, double soc, double power_w) {
    return terminal_at_power(open_circuit_v(p, soc), p.resistance_ohm, power_w);
}

/// State of charge [-] below which the terminals are under `volts` at constant power [W]. A low-voltage set
/// point under load acts at this state of charge. 0 if even an empty battery stays above `volts`, 1 if even a
/// full one does not. If `volts` is below half the open-circuit voltage, the battery collapses before that.
inline double soc_at_terminal_voltage(BatteryVoltageParameters const& p, double volts, double power_w) {
    return soc_at_open_circuit(p, volts + power_w * p.resistance_ohm / volts);
}

/// Tables of the open-circuit voltage after a rest at 25 deg C, per 12 V of battery, for soc 0, 0.1 ... 1.
/// All from memory, +-0.1 V per 12 V: replace them with the maker's. Sealed: the flooded table + 0.15 V.
/// Lithium iron phosphate: four cells in series; nearly constant from 30 to 80 %, so voltage does not show
/// the state of charge there.
std::vector<VoltagePoint> flooded_lead_open_circuit_12v();
std::vector<VoltagePoint> sealed_lead_open_circuit_12v();
std::vector<VoltagePoint> lithium_iron_phosphate_open_circuit_12v();

/// The table for `blocks` blocks of 12 V in series.
std::vector<VoltagePoint> in_series(std::vector<VoltagePoint> table, double blocks);

/// Resistance of a battery [ohm] from that of one 12 V, 100 Ah block: R (V / 12) (100 / Ah).
/// Order of magnitude of a block, from memory: lead-acid 0.012 ohm, lithium iron phosphate 0.006 ohm.
double battery_resistance_ohm(double block_ohm, double nominal_v, double capacity_ah);

/// Factor for the resistance in the cold: 1 at 25 deg C and above, linear through `factor_at_0_c` at 0 deg C
/// and further below. From memory: 1.5-2 at 0 deg C, and another 1.5 at the end of life.
double cold_resistance_factor(double temperature_c, double factor_at_0_c);

}  // namespace holdwater::models
