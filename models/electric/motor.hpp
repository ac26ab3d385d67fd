#pragma once

#include <span>

namespace holdwater::models {

/// How the pump motor is wired and started.
enum class MotorWiring {
    two_wire,    // start switch in the motor; highest starting current; no soft starter, no drive
    three_wire,  // start capacitor and relay in a box above ground
    drive        // fed by a variable-frequency drive: ramped, no surge
};

/// Pump motor: its draw while running and at a start.
///
/// Running: input = intercept + slope * shaft power (see loss_line; for a constant efficiency the intercept
/// is 0 and the slope 1/efficiency). The line through rated and service-factor load is good from about half
/// the rated load up to the service factor. Starting: locked-rotor apparent power at rated voltage for
/// `start_seconds`. Leaves out: dependence of the input on voltage (taken as constant within +/-10 %),
/// winding temperature.
struct MotorParameters {
    double rated_power_w = 0;  // shaft; 1 hp = 745.7 W
    double service_factor = 1;
    double volts = 230;
    int phases = 1;
    MotorWiring wiring = MotorWiring::three_wire;
    double input_intercept_w = 0;
    double input_slope = 1.5;
    double running_power_factor = 0.7;
    double locked_rotor_a = 0;  // nameplate; 0 = not known: by the code letter, or else 6 x full load
    char code_letter = 0;       // nameplate letter A..V; 0 = not known
    double full_load_a = 0;     // nameplate; 0 = not known
    double locked_rotor_power_factor = 0.6;
    double start_seconds = 0.5;
    /// Start current divided by that of a direct start: 1 direct; 0.4..0.7 with an electronic soft starter
    /// (common practice).
    double soft_start_ratio = 1;
    /// Start current of a drive divided by the running current: 1..1.5 (common practice).
    double drive_start_ratio = 1.2;
    double min_run_s = 60;
    double min_rest_s = 60;
};

void validate(MotorParameters const& m);

inline double electrical_input_w(MotorParameters const& m, double shaft_w) {
    return m.input_intercept_w + m.input_slope * shaft_w;
}

/// Straight line through two nameplate points: (rated shaft power, rated input) and (service-factor shaft
/// power, input there).
struct LossLine {
    double intercept_w = 0, slope = 0;
};
LossLine loss_line(double rated_shaft_w, double rated_input_w, double service_shaft_w,
                   double service_input_w);

/// Locked-rotor code letter: kVA per hp, lower bound inclusive, upper exclusive; V has no upper bound
/// (infinity). Source: NEMA MG 1 nameplate code, from two public reproductions. I, O and Q are not used.
struct CodeLetterBand {
    char letter = 0;
    double from_kva_per_hp = 0, below_kva_per_hp = 0;
};
CodeLetterBand code_letter_band(char letter);
char code_letter_of(double kva_per_hp);

/// Whether code letter and locked-rotor current of a nameplate agree to within one letter (true if one of
/// them is missing). Real nameplates are often at the edge of a band, so the next letter passes too.
bool nameplate_agrees(MotorParameters const& m);

/// Where the start current comes from, best source first.
enum class StartFigureSource { nameplate_current, code_letter, full_load_multiple, drive };

/// Draw of a motor at its start. `voltage_ratio` is the voltage at the motor divided by rated voltage. A
/// locked rotor is an impedance, so the current is proportional to this ratio and the power to its square.
/// The torque is proportional to its square too, and the start takes 1/ratio^2 as long (common practice, no
/// source). A drive draws the same power at any ratio.
struct StartDraw {
    double apparent_kva = 0, current_a = 0, power_w = 0, seconds = 0, energy_j = 0;
    double torque_ratio = 0;  // divided by the starting torque at full voltage
    bool starts = false;      // false: below 65 % of rated voltage (generator pages of two pump manuals)
    StartFigureSource source{};
};
StartDraw start_draw(MotorParameters const& m, double voltage_ratio = 1);

/// sqrt(3) for three phases, else 1: apparent power = this x volts x amps.
double phase_factor(MotorParameters const& m);

/// Running current at a shaft power, for a voltage within +/-10 % of rated: the input stays the same, so the
/// current rises as the voltage falls.
double running_current_a(MotorParameters const& m, double shaft_w, double voltage_ratio = 1);

/// Locked-rotor apparent power of a direct start at rated voltage, kVA.
double locked_rotor_kva(MotorParameters const& m);

/// Highest number of starts in 24 h. Source: frequency-of-starts table of a submersible-motor application
/// manual, 60 Hz.
double max_starts_per_day(MotorParameters const& m);

/// Heat in the windings from short cycling, divided by that of continuous running:
/// [LRA^2 t_start + I^2 (t_on - t_start)] / [I^2 (t_on + t_off)]. Above 1 the motor gets hotter than in
/// continuous running. This is an index, not a temperature.
double start_heating_index(double locked_rotor_a, double running_a, double start_s, double on_s,
                           double off_s);

/// Highest number of starts in any window of this length. `start_times_s` must rise.
int most_starts_within(std::span<double const> start_times_s, double window_s);

/// Smallest generator that starts the motor with at most 35 % voltage dip. Source: table of a
/// submersible-motor manual (three-wire motors, continuous rating, described there as somewhat conservative).
/// Two-wire: 50 % more, from memory. A size between two rows takes the next larger row; NaN above 10 hp. Not
/// for soft starters and drives.
struct GeneratorNeed {
    double external_kw = 0, external_kva = 0;  // externally regulated
    double internal_kw = 0, internal_kva = 0;  // internally regulated
};
GeneratorNeed minimum_generator(MotorParameters const& m);

/// Full-load current for sizing conductors, single phase, A: NEC Table 430.248 (same figures in Table 430-148
/// of 1999, public reprints). Only the sizes of the table, 1/6..10 hp, and 115, 200, 208 or 230 V; otherwise
/// it throws ParameterError. A submersible motor draws another current.
double code_full_load_a(double horsepower, double volts);

/// Usual values for a 4-inch submersible motor of 0.5, 0.75, 1, 1.5, 2, 3 or 5 hp, 230 V, 60 Hz, for a design
/// without a nameplate. Typical of published submersible-motor tables, from memory; +/-10 % in input and
/// +/-25 % in locked-rotor current.
MotorParameters typical_submersible_motor(double horsepower, MotorWiring wiring);

}  // namespace holdwater::models
