#include "models/motor.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "models/parameter_error.hpp"

namespace holdwater::models {

namespace {

constexpr double horsepower_w = 745.6998715822702;
constexpr double unbounded = std::numeric_limits<double>::infinity();

constexpr std::array<CodeLetterBand, 19> bands{{
    {'A', 0, 3.15},    {'B', 3.15, 3.55}, {'C', 3.55, 4.0},  {'D', 4.0, 4.5},        {'E', 4.5, 5.0},
    {'F', 5.0, 5.6},   {'G', 5.6, 6.3},   {'H', 6.3, 7.1},   {'J', 7.1, 8.0},        {'K', 8.0, 9.0},
    {'L', 9.0, 10.0},  {'M', 10.0, 11.2}, {'N', 11.2, 12.5}, {'P', 12.5, 14.0},      {'R', 14.0, 16.0},
    {'S', 16.0, 18.0}, {'T', 18.0, 20.0}, {'U', 20.0, 22.4}, {'V', 22.4, unbounded},
}};

double phase_factor(MotorParameters const& m) { return m.phases == 3 ? std::numbers::sqrt3 : 1; }

double full_load_kva(MotorParameters const& m) {
    if (m.full_load_a > 0) return phase_factor(m) * m.volts * m.full_load_a / 1000;
    return electrical_input_w(m, m.rated_power_w) / m.running_power_factor / 1000;
}

}  // namespace

void validate(MotorParameters const& m) {
    require(m.rated_power_w >= 50 && m.rated_power_w <= 30000, "rated_power_w", m.rated_power_w,
            "must be 50..30000 W at the shaft");
    require(m.service_factor >= 1 && m.service_factor <= 2, "service_factor", m.service_factor,
            "must be 1..2");
    require(m.volts >= 100 && m.volts <= 480, "volts", m.volts, "must be 100..480 V");
    require(m.phases == 1 || m.phases == 3, "phases", m.phases, "must be 1 or 3");
    require(m.input_intercept_w >= 0 && m.input_intercept_w <= m.rated_power_w, "input_intercept_w",
            m.input_intercept_w, "must be 0 .. rated power");
    require(m.input_slope >= 1 && m.input_slope <= 10, "input_slope", m.input_slope,
            "must be 1..10: a motor takes in at least what it gives out");
    require(m.running_power_factor > 0.2 && m.running_power_factor <= 1, "running_power_factor",
            m.running_power_factor, "must be above 0.2 and <= 1");
    require(m.locked_rotor_a >= 0 && m.locked_rotor_a < 2000, "locked_rotor_a", m.locked_rotor_a,
            "must be 0 (not known) .. 2000 A");
    if (m.code_letter != 0) code_letter_band(m.code_letter);
    require(m.locked_rotor_power_factor > 0 && m.locked_rotor_power_factor <= 1, "locked_rotor_power_factor",
            m.locked_rotor_power_factor, "must be > 0 and <= 1; 0.4..0.85 is usual");
    require(m.start_seconds >= 0.02 && m.start_seconds <= 10, "start_seconds", m.start_seconds,
            "must be 0.02..10 s");
    require(m.soft_start_ratio > 0.2 && m.soft_start_ratio <= 1, "soft_start_ratio", m.soft_start_ratio,
            "must be above 0.2 and <= 1");
    require(m.soft_start_ratio == 1 || m.wiring != MotorWiring::two_wire, "soft_start_ratio",
            m.soft_start_ratio,
            "must be 1 for a two-wire motor: its built-in start switch cannot take a soft starter");
    require(m.drive_start_ratio >= 1 && m.drive_start_ratio <= 3, "drive_start_ratio", m.drive_start_ratio,
            "must be 1..3");
    require(m.min_run_s >= 0 && m.min_run_s <= 3600, "min_run_s", m.min_run_s, "must be 0..3600 s");
    require(m.min_rest_s >= 0 && m.min_rest_s <= 3600, "min_rest_s", m.min_rest_s, "must be 0..3600 s");
}

LossLine loss_line(double rated_shaft_w, double rated_input_w, double service_shaft_w,
                   double service_input_w) {
    require(service_shaft_w > rated_shaft_w, "service_shaft_w", service_shaft_w,
            "must exceed the rated shaft power");
    require(service_input_w > rated_input_w, "service_input_w", service_input_w,
            "must exceed the rated input");
    double const slope = (service_input_w - rated_input_w) / (service_shaft_w - rated_shaft_w);
    return {rated_input_w - slope * rated_shaft_w, slope};
}

CodeLetterBand code_letter_band(char letter) {
    auto const it =
        std::find_if(bands.begin(), bands.end(), [&](auto const& b) { return b.letter == letter; });
    require(it != bands.end(), "code_letter", letter, "must be one of A..V without I, O and Q, in capitals");
    return *it;
}

char code_letter_of(double kva_per_hp) {
    require(kva_per_hp >= 0 && std::isfinite(kva_per_hp), "kva_per_hp", kva_per_hp, "must be >= 0");
    return std::find_if(bands.begin(), bands.end(),
                        [&](auto const& b) { return kva_per_hp < b.below_kva_per_hp; })
        ->letter;
}

double locked_rotor_kva(MotorParameters const& m) {
    if (m.locked_rotor_a > 0) return phase_factor(m) * m.volts * m.locked_rotor_a / 1000;
    if (m.code_letter != 0) {
        auto const band = code_letter_band(m.code_letter);
        require(std::isfinite(band.below_kva_per_hp), "code_letter", m.code_letter,
                "has no upper bound: give the locked-rotor current instead");
        return band.below_kva_per_hp * m.rated_power_w / horsepower_w;
    }
    return 6 * full_load_kva(m);
}

StartDraw start_draw(MotorParameters const& m) {
    StartDraw s{};
    double power_factor = m.locked_rotor_power_factor;
    if (m.wiring == MotorWiring::drive) {
        s.source = StartFigureSource::drive;
        s.apparent_kva = m.drive_start_ratio * full_load_kva(m);
        power_factor = m.running_power_factor;
    } else {
        s.source = m.locked_rotor_a > 0 ? StartFigureSource::nameplate_current
                   : m.code_letter != 0 ? StartFigureSource::code_letter
                                        : StartFigureSource::full_load_multiple;
        s.apparent_kva = m.soft_start_ratio * locked_rotor_kva(m);
    }
    s.current_a = 1000 * s.apparent_kva / (phase_factor(m) * m.volts);
    s.power_w = 1000 * s.apparent_kva * power_factor;
    s.seconds = m.start_seconds;
    s.energy_j = s.power_w * s.seconds;
    return s;
}

double max_starts_per_day(MotorParameters const& m) {
    double const kw = m.rated_power_w / 1000;
    if (kw < 0.65) return 300;                       // up to 3/4 hp (0.55 kW)
    if (kw < 4.8) return m.phases == 3 ? 300 : 100;  // 1 to 5.5 hp
    if (kw < 25) return m.phases == 3 ? (m.wiring == MotorWiring::drive ? 200 : 100) : 50;  // 7.5 to 30 hp
    return 100;
}

}  // namespace holdwater::models
