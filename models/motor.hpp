#pragma once

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
    double intercept_w, slope;
};
LossLine loss_line(double rated_shaft_w, double rated_input_w, double service_shaft_w,
                   double service_input_w);

/// Locked-rotor code letter: kVA per hp, lower bound inclusive, upper exclusive; V has no upper bound
/// (infinity). Source: NEMA MG 1 nameplate code as reproduced twice in public. I, O and Q are not used.
struct CodeLetterBand {
    char letter;
    double from_kva_per_hp, below_kva_per_hp;
};
CodeLetterBand code_letter_band(char letter);
char code_letter_of(double kva_per_hp);

/// Where the starting figure came from, best first.
enum class StartFigureSource { nameplate_current, code_letter, full_load_multiple, drive };

/// What the supply sees at the start with rated volts held.
struct StartDraw {
    double apparent_kva, current_a, power_w, seconds, energy_j;
    StartFigureSource source;
};
StartDraw start_draw(MotorParameters const& m);

/// Locked-rotor apparent power direct on line at rated volts, kVA.
double locked_rotor_kva(MotorParameters const& m);

/// Most starts per 24 h. Source: frequency-of-starts table of a submersible-motor application manual, 60 Hz.
double max_starts_per_day(MotorParameters const& m);

}  // namespace holdwater::models
