#include "models/electric/motor.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "models/numeric/parameter_error.hpp"

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

double full_load_kva(MotorParameters const& m) {
    if (m.full_load_a > 0) return phase_factor(m) * m.volts * m.full_load_a / 1000;
    return electrical_input_w(m, m.rated_power_w) / m.running_power_factor / 1000;
}

}  // namespace

double phase_factor(MotorParameters const& m) { return m.phases == 3 ? std::numbers::sqrt3 : 1; }

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
    require(m.full_load_a >= 0 && m.full_load_a < 1000, "full_load_a", m.full_load_a,
            "must be 0 (not known) .. 1000 A");
    require(m.locked_rotor_a == 0 || m.locked_rotor_a > m.full_load_a, "locked_rotor_a", m.locked_rotor_a,
            "must exceed the full-load current: a motor that does not turn draws most");
    require(nameplate_agrees(m), "code_letter", m.code_letter,
            "and the locked-rotor current lie more than one letter apart: read the nameplate again");
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

bool nameplate_agrees(MotorParameters const& m) {
    if (m.locked_rotor_a <= 0 || m.code_letter == 0) return true;
    auto const position = [](char letter) {
        return std::find_if(bands.begin(), bands.end(), [&](auto const& b) { return b.letter == letter; }) -
               bands.begin();
    };
    double const kva = phase_factor(m) * m.volts * m.locked_rotor_a / 1000;
    return std::abs(position(code_letter_of(kva / (m.rated_power_w / horsepower_w))) -
                    position(m.code_letter)) <= 1;
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

StartDraw start_draw(MotorParameters const& m, double voltage_ratio) {
    require(voltage_ratio > 0 && voltage_ratio <= 1.2, "voltage_ratio", voltage_ratio,
            "must be > 0 and <= 1.2");
    constexpr double least_voltage_ratio = 0.65;
    double const v2 = voltage_ratio * voltage_ratio;
    StartDraw s{};
    s.seconds = m.start_seconds;
    if (m.wiring == MotorWiring::drive) {
        s.source = StartFigureSource::drive;
        s.apparent_kva = m.drive_start_ratio * full_load_kva(m);
        s.power_w = 1000 * s.apparent_kva * m.running_power_factor;
        s.torque_ratio = 1;
        s.current_a = 1000 * s.apparent_kva / (phase_factor(m) * m.volts * voltage_ratio);
    } else {
        s.source = m.locked_rotor_a > 0 ? StartFigureSource::nameplate_current
                   : m.code_letter != 0 ? StartFigureSource::code_letter
                                        : StartFigureSource::full_load_multiple;
        s.apparent_kva = m.soft_start_ratio * locked_rotor_kva(m) * v2;
        s.power_w = 1000 * s.apparent_kva * m.locked_rotor_power_factor;
        s.torque_ratio = v2;
        s.seconds /= v2;
        s.current_a = 1000 * s.apparent_kva / (phase_factor(m) * m.volts * voltage_ratio);
    }
    s.starts = voltage_ratio >= least_voltage_ratio;
    s.energy_j = s.power_w * s.seconds;
    return s;
}

double running_current_a(MotorParameters const& m, double shaft_w, double voltage_ratio) {
    return electrical_input_w(m, shaft_w) /
           (phase_factor(m) * m.volts * voltage_ratio * m.running_power_factor);
}

double max_starts_per_day(MotorParameters const& m) {
    double const kw = m.rated_power_w / 1000;
    if (kw < 0.65) return 300;                       // up to 3/4 hp (0.55 kW)
    if (kw < 4.8) return m.phases == 3 ? 300 : 100;  // 1 to 5.5 hp
    if (kw < 25) return m.phases == 3 ? (m.wiring == MotorWiring::drive ? 200 : 100) : 50;  // 7.5 to 30 hp
    return 100;
}

double start_heating_index(double locked_rotor_a, double running_a, double start_s, double on_s,
                           double off_s) {
    double const i2 = running_a * running_a;
    return (locked_rotor_a * locked_rotor_a * start_s + i2 * (on_s - start_s)) / (i2 * (on_s + off_s));
}

int most_starts_within(std::span<double const> times_s, double window_s) {
    std::size_t most = 0, first = 0;
    for (std::size_t i = 0; i < times_s.size(); ++i) {
        while (times_s[i] - times_s[first] >= window_s) ++first;
        most = std::max(most, i - first + 1);
    }
    return static_cast<int>(most);
}

GeneratorNeed minimum_generator(MotorParameters const& m) {
    struct Row {
        double hp = 0;
        GeneratorNeed need;
    };
    static constexpr std::array<Row, 9> rows{{{0.5, {2.0, 2.5, 1.5, 1.9}},
                                              {0.75, {3.0, 3.8, 2.0, 2.5}},
                                              {1, {4.0, 5.0, 2.5, 3.1}},
                                              {1.5, {5.0, 6.3, 3.0, 3.8}},
                                              {2, {7.5, 9.4, 4.0, 5.0}},
                                              {3, {10.0, 12.5, 5.0, 6.25}},
                                              {5, {15.0, 18.8, 7.5, 9.4}},
                                              {7.5, {20.0, 25.0, 10.0, 12.5}},
                                              {10, {30.0, 37.5, 15.0, 18.8}}}};
    double const hp = m.rated_power_w / horsepower_w;
    auto const row = std::find_if(rows.begin(), rows.end(), [&](auto const& r) { return hp <= r.hp * 1.01; });
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    if (row == rows.end()) return {nan, nan, nan, nan};
    double const f = m.wiring == MotorWiring::two_wire ? 1.5 : 1;
    auto const& n = row->need;
    return {f * n.external_kw, f * n.external_kva, f * n.internal_kw, f * n.internal_kva};
}

double code_full_load_a(double horsepower, double volts) {
    static constexpr std::array<double, 12> sizes{1. / 6, 0.25, 1. / 3, 0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10};
    struct Column {
        double volts = 0;
        std::array<double, 12> current_a{};
    };
    static constexpr std::array<Column, 4> columns{
        {{115, {4.4, 5.8, 7.2, 9.8, 13.8, 16, 20, 24, 34, 56, 80, 100}},
         {200, {2.5, 3.3, 4.1, 5.6, 7.9, 9.2, 11.5, 13.8, 19.6, 32.2, 46.0, 57.5}},
         {208, {2.4, 3.2, 4.0, 5.4, 7.6, 8.8, 11.0, 13.2, 18.7, 30.8, 44.0, 55.0}},
         {230, {2.2, 2.9, 3.6, 4.9, 6.9, 8.0, 10, 12, 17, 28, 40, 50}}}};
    auto const column =
        std::find_if(columns.begin(), columns.end(), [&](auto const& c) { return c.volts == volts; });
    require(column != columns.end(), "volts", volts, "must be 115, 200, 208 or 230 V");
    auto const size =
        std::find_if(sizes.begin(), sizes.end(), [&](double s) { return std::abs(s - horsepower) < 0.005; });
    require(size != sizes.end(), "horsepower", horsepower,
            "must be 1/6, 1/4, 1/3, 1/2, 3/4, 1, 1.5, 2, 3, 5, 7.5 or 10");
    return column->current_a[static_cast<std::size_t>(size - sizes.begin())];
}

MotorParameters typical_submersible_motor(double horsepower, MotorWiring wiring) {
    struct Row {
        double hp = 0, service_factor = 0, rated_input_w = 0, service_input_w = 0, full_load_a = 0,
               service_a = 0, lra_three_wire = 0, lra_two_wire = 0;
    };
    static constexpr std::array<Row, 7> rows{{{0.5, 1.6, 670, 960, 5.0, 6.0, 22, 32.2},
                                              {0.75, 1.5, 940, 1310, 6.8, 8.0, 32, 40.7},
                                              {1, 1.4, 1210, 1600, 8.2, 9.8, 41.8, 48.7},
                                              {1.5, 1.3, 1660, 2120, 10.0, 11.5, 52, 66.2},
                                              {2, 1.25, 2170, 2660, 10.0, 13.2, 51, 0},
                                              {3, 1.15, 3170, 3620, 14.0, 17.0, 82, 0},
                                              {5, 1.15, 5250, 6030, 23.0, 27.5, 121, 0}}};
    // The two-wire motor of 1.5 hp has no run capacitor, so it draws more than the three-wire motor while
    // running, too.
    static constexpr Row two_wire_1_5{1.5, 1.3, 1770, 2280, 10.6, 13.1, 0, 66.2};
    auto const* row =
        std::find_if(rows.begin(), rows.end(), [&](auto const& r) { return r.hp == horsepower; });
    require(row != rows.end(), "horsepower", horsepower, "must be 0.5, 0.75, 1, 1.5, 2, 3 or 5");
    if (wiring == MotorWiring::two_wire && horsepower == 1.5) row = &two_wire_1_5;
    require(wiring != MotorWiring::two_wire || row->lra_two_wire > 0, "horsepower", horsepower,
            "must be 1.5 or less for a two-wire motor");
    MotorParameters m;
    m.rated_power_w = horsepower * horsepower_w;
    m.service_factor = row->service_factor;
    m.wiring = wiring;
    auto const line = loss_line(m.rated_power_w, row->rated_input_w, m.rated_power_w * row->service_factor,
                                row->service_input_w);
    m.input_intercept_w = line.intercept_w;
    m.input_slope = line.slope;
    m.running_power_factor = row->service_input_w / (m.volts * row->service_a);
    m.full_load_a = row->full_load_a;
    m.locked_rotor_a = wiring == MotorWiring::two_wire ? row->lra_two_wire : row->lra_three_wire;
    m.min_run_s = horsepower < 1.5 ? 60 : 120;
    return m;
}

}  // namespace holdwater::models
