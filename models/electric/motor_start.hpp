#pragma once

#include <complex>
#include <string_view>

#include "models/battery/battery_voltage.hpp"
#include "models/electric/inverter_overload.hpp"

namespace holdwater::models {

/// A motor at the moment when it is switched on.
struct LockedRotor {
    double rated_v = 0;       ///< rated motor voltage [V], > 0
    double current_a = 0;     ///< locked-rotor current at rated voltage [A], > 0
    double power_factor = 0;  ///< locked-rotor power factor [-], (0, 1]; 0.4-0.8 single phase, from memory
    double seconds = 0;       ///< time of the start [s], > 0; 0.1-0.5 four-inch submersibles, from memory
};

/// Throws ParameterError naming the field.
void validate(LockedRotor const& motor);

/// The circuit between the source and the motor at a start.
struct StartPath {
    double source_v = 0;                ///< voltage of the source before its own drop [V], > 0
    double source_sag = 0;              ///< share of it lost in the source during the start, if known [-]
    std::complex<double> source_ohm{};  ///< impedance of the source, if known instead [ohm]
    std::complex<double> cable_ohm{};   ///< loop impedance of all cable to the motor [ohm]
};

/// Throws ParameterError naming the field.
void validate(StartPath const& path);

/// The first moment of a start, with the rotor at rest.
struct StartResult {
    double current_a = 0;
    double motor_v = 0;
    double motor_share = 0;         ///< motor voltage divided by rated voltage [-]
    double torque_share = 0;        ///< torque divided by that at full voltage, motor_share squared [-]
    double source_terminal_v = 0;   ///< at the terminals of the source [V]
    std::complex<double> power_va;  ///< from the terminals of the source: real [W], reactive [var]
};

/// Locked-rotor impedance Z_m = V_r / I_LR at its power factor, in series with cable and source:
///   I = V_s (1 - sag) / |Z_source + Z_cable + Z_m|,  V_m = I |Z_m|,  torque ~ (V_m / V_r)^2.
/// Source: circuit laws. Holds for the first moment, which is the worst. Leaves out: acceleration,
/// saturation, temperature. A long cable limits the current, which is good for the inverter and bad for the
/// pump: check both.
StartResult start_motor(LockedRotor const& motor, StartPath const& path);

enum class Verdict { pass, marginal, fail, unknown };
std::string_view name(Verdict verdict);

/// Fail below 1, marginal below `tight` (1.25 is common practice).
Verdict verdict_of_margin(double margin, double tight = 1.25);

enum class MeasuredStart { none, succeeded, failed };

/// A start that was tried on site overrides any table. If it failed, check the control box first.
Verdict with_measurement(Verdict computed, MeasuredStart measured);

/// How many times larger the start could be with the rating of the source and the other load [-]: the largest
/// m with |m S_start + S_other| <= limit, S complex; 0 if the other load alone is too much.
double start_margin(std::complex<double> start_va, std::complex<double> other_va, double limit_va);

/// The DC side of a start.
struct StartSupply {
    double open_circuit_v = 0;  ///< battery at rest [V]
    double resistance_ohm = 0;  ///< battery and cable to the inverter [ohm]
    double current_limit_a =
        std::numeric_limits<double>::infinity();  ///< battery, fuse or management system [A]
};

/// All conditions for the pump to start from the inverter. The user can set the limits. The default for the
/// motor voltage is at least 0.65 of rated (generator pages of two makers' manuals give it for the supply).
struct StartCheck {
    StartResult start;
    double surge_limit_va = 0;   ///< of the inverter for the time of the start [VA]
    double surge_margin = 0;     ///< see start_margin [-]
    Terminal dc;                 ///< at the DC terminals of the inverter
    bool voltage_holds = false;  ///< motor share >= limit
    bool dc_holds =
        false;  ///< no collapse, at or above the inverter's low-voltage cutout, within the current limit
    Verdict verdict{};  ///< fail if any condition fails, marginal if the margin is small, otherwise pass
    std::string_view reason;  ///< the first condition that fails, or why it is marginal; empty for pass
};

StartCheck check_start(LockedRotor const& motor, StartPath const& path, InverterParameters const& inverter,
                       StartSupply const& supply, std::complex<double> other_va,
                       double least_motor_share = 0.65, double start_efficiency = 0.88);

}  // namespace holdwater::models
