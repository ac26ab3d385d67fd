#pragma once

#include <span>

namespace holdwater::models {

/// How the pump motor is wired and started.
enum class MotorWiring {
    two_wire,    // start switch in the motor; highest starting current; no soft starter, no drive
    three_wire,  // start capacitor and relay in a box above ground
    drive        // fed by a variable-frequency drive: ramped, no surge
};

/// Pump motor: what it draws running and what it asks for when it starts.
///
/// Running: input = intercept + slope * shaft power (see loss_line; a constant efficiency is intercept 0,
/// slope 1/efficiency). Fitted through rated and service-factor load: good from about half rated load up to
/// the service factor. Starting: locked-rotor apparent power at rated volts for `start_seconds`. Leaves out:
/// dependence of input on voltage (held within +/-10 %), winding temperature.
struct MotorParameters {
    double rated_power_w = 0;  // shaft; 1 hp = 745.7 W
    double service_factor = 1;
    double volts = 230;
    int phases = 1;
    MotorWiring wiring = MotorWiring::three_wire;
    double input_intercept_w = 0;
    double input_slope = 1.5;
    double running_power_factor = 0.7;
    double locked_rotor_a = 0;  // nameplate; 0 = not known, then the code letter, then 6 x full-load is used
    char code_letter = 0;       // nameplate letter A..V; 0 = not known
    double full_load_a = 0;     // nameplate; 0 = not known
    double locked_rotor_power_factor = 0.6;
    double start_seconds = 0.5;
    /// Starting current over the direct-on-line one: 1 direct; 0.4..0.7 electronic soft starter (common
    /// practice).
    double soft_start_ratio = 1;
    /// Start current of a drive over running current: 1..1.5 (common practice).
    double drive_start_ratio = 1.2;
    double min_run_s = 60;
    double min_rest_s = 60;
};

void validate(MotorParameters const& m);

inline double electrical_input_w(MotorParameters const& m, double shaft_w) {
    return m.input_intercept_w + m.input_slope * shaft_w;
}

/// Straight line through two nameplate points: (rated shaft, rated input) and (service-factor shaft, its
/// input).
struct LossLine {
    double intercept_w = 0, slope = 0;
};
LossLine loss_line(double rated_shaft_w, double rated_input_w, double service_shaft_w,
                   double service_input_w);

/// Locked-rotor code letter: kVA per hp, lower bound inclusive, upper exclusive; V has no upper bound
/// (infinity). Source: NEMA MG 1 nameplate code as reproduced twice in public. I, O and Q are not used.
struct CodeLetterBand {
    char letter = 0;
    double from_kva_per_hp = 0, below_kva_per_hp = 0;
};
CodeLetterBand code_letter_band(char letter);
char code_letter_of(double kva_per_hp);

/// Code letter and locked-rotor current of one nameplate are within one letter of each other (true when one
/// is missing). Real nameplates sit on the borders, so a neighbor passes.
bool nameplate_agrees(MotorParameters const& m);

/// Where the starting figure came from, best first.
enum class StartFigureSource { nameplate_current, code_letter, full_load_multiple, drive };

/// What the supply sees at the start. `voltage_ratio` = volts at the motor over rated volts: a locked rotor
/// is an impedance, so current falls with it and power with its square; torque falls with its square too and
/// the run-up takes 1/ratio^2 as long (common practice, no source). A drive draws its power regardless.
struct StartDraw {
    double apparent_kva = 0, current_a = 0, power_w = 0, seconds = 0, energy_j = 0;
    double torque_ratio = 0;  // of full-voltage starting torque
    bool starts = false;      // false: below 65 % of rated volts (generator pages of two pump manuals)
    StartFigureSource source{};
};
StartDraw start_draw(MotorParameters const& m, double voltage_ratio = 1);

/// Running current at a shaft load and voltage within +/-10 % of rated: input is held, current rises as volts
/// fall.
double running_current_a(MotorParameters const& m, double shaft_w, double voltage_ratio = 1);

/// Locked-rotor apparent power direct on line at rated volts, kVA.
double locked_rotor_kva(MotorParameters const& m);

/// Most starts per 24 h. Source: frequency-of-starts table of a submersible-motor application manual, 60 Hz.
double max_starts_per_day(MotorParameters const& m);

/// Copper heat of short cycling over that of running all the time:
/// [LRA^2 t_start + I^2 (t_on - t_start)] / [I^2 (t_on + t_off)]; above 1 the motor gets hotter than
/// continuous running. An index, not a temperature.
double start_heating_index(double locked_rotor_a, double running_a, double start_s, double on_s,
                           double off_s);

/// Most starts inside any window of this length. `start_times_s` rising.
int most_starts_within(std::span<double const> start_times_s, double window_s);

/// Smallest generator that starts the motor with at most 35 % voltage dip. Source: table of a
/// submersible-motor manual (three-wire motors, continuous rating, described there as somewhat conservative).
/// Two-wire: 50 % more, from memory. Next table size up; NaN above 10 hp. Says nothing of soft starters and
/// drives.
struct GeneratorNeed {
    double external_kw = 0, external_kva = 0;  // externally regulated
    double internal_kw = 0, internal_kva = 0;  // internally regulated
};
GeneratorNeed minimum_generator(MotorParameters const& m);

/// Full-load current for sizing conductors, single phase, A: NEC Table 430.248 (same figures in 1999 Table
/// 430-148, public reprints). Exact sizes 1/6..10 hp and 115, 200, 208 or 230 V only, else ParameterError.
/// Not what a submersible draws.
double code_full_load_a(double horsepower, double volts);

/// Defaults for a 4-inch submersible of 0.5, 0.75, 1, 1.5, 2, 3 or 5 hp, 230 V, 60 Hz, when there is no
/// nameplate. From memory, composite of published motor data; +/-10 % in input and +/-25 % in locked-rotor
/// current.
MotorParameters typical_submersible_motor(double horsepower, MotorWiring wiring);

}  // namespace holdwater::models
