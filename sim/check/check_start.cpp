#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "models/electric/motor.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

using models::MeasuredStart, models::MotorWiring, models::Verdict;
using scenarios::Scenario;

constexpr std::string_view start_group = "Start on the inverter";

// The small loads and the other pumps, which run while this one starts.
std::complex<double> others_va(Design const& d, PumpOnBus const& starting) {
    std::complex<double> sum = d.loads_va;
    for (auto const& p : d.pumps)
        if (&p != &starting) sum += running_va(p);
    return sum;
}

// Margin to what the inverter carries, on its fuller leg or fullest phase.
double surge_margin(Design const& d, PumpOnBus const& pump, std::complex<double> start_va, double limit_va) {
    auto const& inverter = d.scenario->inverter;
    std::complex<double> const small = d.loads_va, other = others_va(d, pump);
    if (inverter.legs == 1) return models::start_margin(start_va, other, limit_va);
    if (inverter.legs == 3) {
        double const phase_limit_va = limit_va / inverter.rated_power_w * models::phase_rating_va(inverter);
        std::complex<double> const balanced =
            std::complex{d.phases.balanced_w, d.phases.balanced_var} + other - small;
        double least = models::start_margin(start_va, other, limit_va);
        for (std::size_t p = 0; p < 3; ++p)
            least = std::min(
                least, models::start_margin(start_va / 3.0,
                                            balanced / 3.0 + std::complex{d.phases.w[p], d.phases.var[p]},
                                            phase_limit_va));
        return least;
    }
    bool const one_leg = pump.motor->volts < 0.75 * inverter.output_v;
    std::complex<double> const across{d.legs.across_w, d.legs.across_var};
    std::complex<double> const leg1 = across / 2.0 + std::complex{d.legs.leg1_w, d.legs.leg1_var};
    std::complex<double> const leg2 = across / 2.0 + std::complex{d.legs.leg2_w, d.legs.leg2_var};
    std::complex<double> const on_leg = start_va * (one_leg ? 1.0 : 0.5), pumps = (other - small) / 2.0;
    return std::min(models::start_margin(on_leg, leg1 + pumps, limit_va / 2),
                    models::start_margin(on_leg, leg2 + pumps, limit_va / 2));
}

models::LockedRotor locked_rotor(PumpOnBus const& p) {
    auto const& m = *p.motor;
    if (p.drive != nullptr)
        return {m.volts, m.drive_start_ratio * running_a(p), p.drive->input_power_factor, m.start_seconds};
    return {m.volts, 1000 * m.soft_start_ratio * models::locked_rotor_kva(m) / (p.phase_factor() * m.volts),
            m.locked_rotor_power_factor, m.start_seconds};
}

std::string start_figure(Design const& d, PumpOnBus const& p, models::LockedRotor const& rotor) {
    if (p.drive != nullptr)
        return fmt::format("drive: {} A from standstill", figure_text(rotor.current_a, 1));
    std::string const given = p.cabled ? provenance_of(*d.scenario, "motor.locked_rotor") : std::string();
    std::string_view from = given;
    if (from.empty()) {
        if (p.motor->locked_rotor_a > 0)
            from = "";  // the notes say once that the source is not stated
        else if (p.motor->code_letter != 0)
            from = "upper end of the code letter";
        else
            from = "assumed, 6 x full load; 3 to 7 x tried";
    }
    return fmt::format("locked rotor {} A{}, power factor {:.2g}", figure_text(rotor.current_a, 1),
                       from.empty() ? "" : fmt::format(" ({})", from), rotor.power_factor);
}

struct Chain {
    models::LockedRotor rotor;
    models::StartPath path;
    models::StartResult start;
    double surge_va = 0, seconds = 0, margin = 0;
};

Chain chain_of(Design const& d, PumpOnBus const& pump, double sag) {
    Scenario const& s = *d.scenario;
    Chain c{};
    c.rotor = locked_rotor(pump);
    double const volts = source_v(s.inverter, pump.motor->volts);
    c.path.source_v = volts > 0 ? volts : pump.motor->volts;
    c.path.source_sag = sag;
    c.path.source_ohm = s.wiring.source_ohm;
    if (pump.cabled)
        for (auto const& cable : s.wiring.cables) c.path.cable_ohm += 2 * cable.length_m * cable.ohm_per_m;
    // Three phases: volts between two phases instead of to the star point, so the resistances are sqrt(3) of
    // one conductor's, and the power is sqrt(3) times as much.
    c.path.cable_ohm *= pump.drop_ratio();
    models::validate(c.rotor);
    models::validate(c.path);
    c.start = models::start_motor(c.rotor, c.path);
    c.start.power_va *= pump.phase_factor();
    // A start takes longer with less torque, as in models::start_draw. The torque is limited to a quarter,
    // because a weaker start may not succeed at all.
    double const torque = pump.drive != nullptr ? 1 : std::clamp(c.start.torque_share, 0.25, 1.0);
    c.seconds = c.rotor.seconds / torque;
    c.surge_va = models::surge_va(s.inverter, c.seconds);
    c.margin = surge_margin(d, pump, c.start.power_va, c.surge_va);
    return c;
}

void check_surge(Design const& d, PumpOnBus const& pump, Chain const& c, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    Check k = titled("start-surge", start_group, "Inverter surge", pump);
    k.value = std::abs(c.start.power_va), k.limit = c.surge_va, k.unit = "VA", k.margin = c.margin;
    k.verdict = models::verdict_of_margin(k.margin, tight_power);
    std::tie(k.value_text, k.limit_text) = power_texts(k.value, k.limit, "VA");
    k.limit_text += fmt::format(", {:.2g} s", c.seconds);
    k.source = "inverter data sheet; band of 25 %: common practice, no source";
    Chain const sagged = chain_of(d, pump, std::max(s.wiring.source_sag, 0.1));
    Verdict const at_90 = models::verdict_of_margin(sagged.margin, tight_power);
    if (pump.drive == nullptr && s.wiring.source_sag < 0.1 && !s.inverter.surge.empty())
        k.detail = fmt::format("At 90 % volts: {}, {}.", power_text(std::abs(sagged.start.power_va), "VA"),
                               name(at_90));
    double const other_va = std::abs(others_va(d, pump));
    if (other_va > 0)
        k.detail += fmt::format("{}The margin also counts {} of other load running at that moment.",
                                k.detail.empty() ? "" : " ", power_text(other_va, "VA"));
    if (k.verdict == Verdict::fail)
        k.change = fmt::format(
            "Short by about {} of the start. More surge, less load at the start, or a motor "
            "with less start current.",
            power_text(k.value * (1 - k.margin), "VA"));
    if (s.inverter.surge.empty() && k.verdict != Verdict::pass) {
        k.verdict = Verdict::unknown;
        k.change = "No surge rating given: give inverter.surge_power and surge_times from its data sheet.";
    }
    if (k.verdict == Verdict::marginal)
        k.change =
            k.margin < tight_power
                ? "Measure the start current, or take off load; under 25 % a warm day or low battery may "
                  "trip it."
                : "Measure the start current: at the upper end of its range less than 25 % would be left.";
    k.provenance = start_figure(d, pump, c.rotor);
    checks.push_back(k);
}

void check_motor_volts(Design const& d, PumpOnBus const& pump, Chain const& c, std::vector<Check>& checks) {
    if (pump.drive != nullptr) return;
    Scenario const& s = *d.scenario;
    Check k = titled("start-motor-volts", start_group, "Motor voltage at start", pump);
    at_least(k, c.start.motor_share, s.design_check.least_motor_share, "1", tight_volts);
    int const digits = digits_apart(100 * k.value, 100 * k.limit, 1);
    k.value_text = fmt::format("{} %", figure_text(100 * k.value, digits));
    k.limit_text = fmt::format("at least {} %", figure_text(100 * k.limit, digits > 1 ? digits : 0));
    k.source =
        "65 % of rated volts: generator pages of two pump makers' manuals, for the supply; at the motor "
        "it is the cautious reading";
    k.detail = fmt::format("Torque {} % of full; {} A.", figure_text(100 * c.start.torque_share),
                           figure_text(c.start.current_a, 1));
    if (s.wiring.source_sag > 0)
        k.detail += fmt::format(" Source sag {} %.", figure_text(100 * s.wiring.source_sag));
    if (pump.cabled && s.wiring.cables.empty()) {
        if (k.verdict != Verdict::fail) k.verdict = Verdict::unknown;
        k.change = "The cable is not described: give each length as [[cable]].";
    } else if (k.verdict != Verdict::pass) {
        k.change = "Thicker or shorter cable, a stiffer source, or a maker's written consent to less.";
    }
    k.provenance = start_figure(d, pump, c.rotor);
    checks.push_back(k);
}

struct ColdBattery {
    bool known = false;       // volts and resistance
    bool cold_known = false;  // its temperature is known; otherwise 25 deg C is used
    double open_v = 0, ohm = 0, nominal_v = 0;
    std::string words;
};

ColdBattery cold_battery(Design const& d) {
    Scenario const& s = *d.scenario;
    auto const& voltage = s.battery_behavior.voltage;
    ColdBattery b;
    b.known = !voltage.open_circuit.empty();
    b.nominal_v = b.known ? models::open_circuit_v(voltage, 0.5) : s.battery_nominal_v;
    if (!b.known) return b;
    b.open_v = s.design_check.resting_v.value_or(models::open_circuit_v(voltage, start_check_soc(s)));
    double at_0_c = s.battery_behavior.cold_resistance_factor;
    double celsius = 25;
    b.cold_known =
        s.design_check.battery_temperature_c || (s.battery_behavior.thermal && s.design_check.record_low_c);
    if (s.design_check.battery_temperature_c) {
        celsius = *s.design_check.battery_temperature_c;
        if (!s.battery_behavior.thermal) at_0_c = 1.75;  // usual figure for every chemistry, from memory
    } else if (s.battery_behavior.thermal && s.design_check.record_low_c) {
        auto const& thermal = *s.battery_behavior.thermal;
        celsius = *s.design_check.record_low_c + s.battery_behavior.place_offset_k;
        if (thermal.heater_w > 0) celsius = std::max(celsius, thermal.heater_on_below_c);
    }
    b.ohm = voltage.resistance_ohm * models::cold_resistance_factor(celsius, at_0_c) + s.wiring.dc_ohm;
    b.words =
        fmt::format("{} V at rest{}, {} mΩ with cable, battery at {}.", figure_text(b.open_v, 1),
                    s.design_check.resting_v ? std::string()
                                             : fmt::format(" ({} %)", figure_text(100 * start_check_soc(s))),
                    figure_text(1e3 * b.ohm, 1), temperature_text(celsius, d.options.units));
    return b;
}

void check_battery_start(Design const& d, PumpOnBus const& pump, Chain const& c, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    double const dc_w =
        (c.start.power_va.real() + others_va(d, pump).real()) / s.design_check.start_efficiency;
    ColdBattery const battery = cold_battery(d);
    models::Terminal const dc = battery.known
                                    ? models::terminal_at_power(battery.open_v, battery.ohm, dc_w)
                                    : models::Terminal{battery.nominal_v, dc_w / battery.nominal_v, false};
    Check v = titled("start-battery-volts", start_group, "Battery voltage, low and cold", pump);
    v.detail = battery.words;
    v.source = "inverter's low-voltage cutout; band of 5 %: common practice, no source";
    if (!battery.known || s.inverter.low_voltage_v == 0) {
        v.value_text = battery.known ? fmt::format("{} V", figure_text(dc.volts, 1)) : "not known";
        v.limit_text = s.inverter.low_voltage_v > 0
                           ? fmt::format("at least {} V", figure_text(s.inverter.low_voltage_v, 1))
                           : "not known";
        v.change = battery.known ? "Give inverter.low_voltage_cutout."
                                 : "Give battery.chemistry, nominal_voltage, voltage_model = true and "
                                   "inverter.low_voltage_cutout.";
        if (battery.known) v.value = dc.volts, v.unit = "V";
        if (dc.collapsed) v.verdict = Verdict::fail;
    } else {
        at_least(v, dc.volts, s.inverter.low_voltage_v, "V", tight_volts);
        int const digits = digits_apart(dc.volts, v.limit, 1);
        v.value_text = dc.collapsed ? "collapses" : fmt::format("{} V", figure_text(dc.volts, digits));
        v.limit_text = fmt::format("at least {} V", figure_text(v.limit, digits));
        if (v.verdict != Verdict::pass)
            v.change =
                "More battery in parallel, a warmer place, thicker battery cable, or a lower cut-out where "
                "the battery's maker allows it.";
        if (v.verdict != Verdict::fail && !battery.cold_known) {
            v.verdict = Verdict::unknown;
            v.change =
                "Calculated for a warm battery: give check.battery_temperature, the coldest the battery "
                "gets.";
        }
    }
    v.provenance = provenance_of(s, "battery.resistance");
    if (!v.provenance.empty()) v.provenance = "battery resistance: " + v.provenance;
    checks.push_back(v);

    Check a = titled("start-battery-amps", start_group, "Battery current", pump);
    double const continuous_a = 1e3 * s.battery.discharge_limit_kw / battery.nominal_v;
    at_most(a, dc.amps, s.wiring.battery_peak_a.value_or(continuous_a), "A", tight_table);
    int const digits = digits_apart(a.value, a.limit, 0);
    a.value_text = dc.collapsed ? "no limit" : fmt::format("{} A", figure_text(a.value, digits));
    a.limit_text =
        std::isfinite(a.limit) ? fmt::format("at most {} A", figure_text(a.limit, digits)) : "none given";
    a.detail = fmt::format("{} from the battery.", power_text(dc_w, "W"));
    a.source = s.wiring.battery_peak_a ? "battery's, fuse's and management's short-time limit"
                                       : "battery's continuous discharge limit";
    if (!s.wiring.battery_peak_a && a.verdict != Verdict::pass && !dc.collapsed) {
        a.verdict = Verdict::unknown;
        a.change =
            a.margin < 1
                ? "Above the continuous limit: ask the maker for the limit over one second and give "
                  "wiring.battery_peak_current."
                : "Close to the continuous limit: ask the maker for the limit over one second and give "
                  "wiring.battery_peak_current.";
    } else if (a.verdict != Verdict::pass) {
        a.change = "More units in parallel, or a battery that can deliver this for the start.";
    }
    checks.push_back(a);
}

// The phase with the largest load while everything runs.
void check_phases(Design const& d, std::vector<Check>& checks) {
    Scenario const& s = *d.scenario;
    if (s.inverter.legs != 3) return;
    models::PhaseLoad all = d.phases;
    for (auto const& p : d.pumps)
        all.balanced_w += running_va(p).real(), all.balanced_var += running_va(p).imag();
    auto const va = models::phase_va(all);
    auto const highest = std::max_element(va.begin(), va.end());
    double const rating_va = models::phase_rating_va(s.inverter),
                 phase_v = s.inverter.output_v / std::numbers::sqrt3;
    Check k = titled("phase-load", "Motor and inverter", "Fullest phase, all running");
    at_most(k, *highest, rating_va, "VA", tight_power);
    std::tie(k.value_text, k.limit_text) = power_texts(k.value, k.limit, "VA");
    k.value_text += fmt::format(", L{}", highest - va.begin() + 1);
    k.detail = fmt::format("L1 {} A, L2 {} A, L3 {} A at {} V to neutral; {} A on each.",
                           figure_text(va[0] / phase_v, 1), figure_text(va[1] / phase_v, 1),
                           figure_text(va[2] / phase_v, 1), figure_text(phase_v),
                           figure_text(rating_va / phase_v, 1));
    k.source = s.inverter.phase_va > 0 ? "inverter data sheet, rating of each phase"
                                       : "a third of the inverter's rating: common practice, no source";
    if (k.verdict != Verdict::pass)
        k.change = "Move single-phase loads to another phase, or a larger inverter.";
    checks.push_back(k);
}

// The breaker at the start current: below the multiple at which its curve may trip at once.
void check_breaker_start(Design const& d, Chain const& c, std::vector<Check>& checks) {
    auto const& w = d.scenario->wiring;
    if (w.breaker_a == 0 || (!w.breaker_curve && !d.iec())) return;
    Check k = titled("breaker-start", start_group, "Breaker at the start");
    double const start_a = c.start.current_a;
    k.value_text = fmt::format("{} A", figure_text(start_a, 1));
    k.source = "B 3 to 5, C 5 to 10, D 10 to 20 x rated current: IEC 60898-1, from memory";
    if (!w.breaker_curve) {
        k.limit_text = "curve not given";
        k.change = "Read the curve on the breaker, B, C or D, and give wiring.breaker_curve.";
        checks.push_back(k);
        return;
    }
    auto const trip = models::instant_trip(*w.breaker_curve);
    double const holds_a = trip.holds * w.breaker_a, trips_a = trip.trips * w.breaker_a;
    at_most(k, start_a, holds_a, "A", 1);
    // Between the two a breaker of this curve may trip or not.
    if (k.verdict == Verdict::fail && start_a <= trips_a) k.verdict = Verdict::marginal;
    int const digits = digits_apart(start_a, holds_a, 1);
    k.value_text = fmt::format("{} A", figure_text(start_a, digits));
    k.limit_text = fmt::format("at most {} A", figure_text(holds_a, digits));
    k.detail = fmt::format(
        "{}{}: may trip at once above {} A, certainly above {} A. The first half-wave, which can be "
        "higher, is left out.",
        models::name(*w.breaker_curve), figure_text(w.breaker_a), figure_text(holds_a), figure_text(trips_a));
    if (k.verdict == Verdict::fail)
        k.change =
            "It trips at the start: curve C or D, a soft start, or a larger breaker if the cable allows it.";
    if (k.verdict == Verdict::marginal)
        k.change = "It may trip at the start: the next curve, or a start current measured below the limit.";
    checks.push_back(k);
}

// Setting of the motor protection, and whether it lets the motor start.
void check_protection(Design const& d, PumpOnBus const& pump, Chain const& c, std::vector<Check>& checks) {
    auto const& w = d.scenario->wiring;
    if (pump.drive != nullptr) return;  // the drive protects the motor
    if (w.motor_protection_a == 0 && !d.iec()) return;
    double const amps = running_a(pump), least_a = amps / models::no_trip_ratio;
    Check k = titled("protection-setting", start_group, "Motor protection");
    k.limit_text = fmt::format("{} to {} A", figure_text(least_a, 1), figure_text(amps, 1));
    k.source =
        "holds 1.05 x, trips at 1.2 x its setting: IEC 60947-4-1, from memory; the motor's manual rules";
    if (w.motor_protection_a == 0) {
        k.value_text = "not given";
        k.change = "Read the setting of the overload relay and give wiring.motor_protection.";
        checks.push_back(k);
        return;
    }
    double const set_a = w.motor_protection_a;
    k.value = set_a, k.unit = "A", k.limit = set_a < least_a ? least_a : amps;
    k.margin = std::min(same_figure(set_a, least_a) ? 1 : set_a / least_a,
                        same_figure(set_a, amps) ? 1 : amps / set_a);
    k.verdict = models::verdict_of_margin(k.margin, 1);
    int const digits = digits_apart(set_a, k.limit, 1);
    k.value_text = fmt::format("{} A", figure_text(set_a, digits));
    k.detail = fmt::format("Running current {} A, {}.", figure_text(amps, 1), running_a_source(pump));
    if (k.verdict == Verdict::fail)
        k.change = set_a < least_a ? "It trips in service: set it to the running current."
                                   : "Too high to protect the motor: set it to the running current.";
    checks.push_back(k);

    Check t = titled("protection-start", start_group, "Motor protection at the start");
    double const ratio = c.start.current_a / set_a, trip_s = models::earliest_trip_s(w.trip_class, ratio);
    at_most(t, c.seconds, trip_s, "s", tight_power);
    t.value_text = fmt::format("{:.2g} s", c.seconds);
    t.limit_text = std::isfinite(trip_s) ? fmt::format("at most {:.2g} s", trip_s) : "does not trip";
    t.detail = fmt::format("{} A, {} x its setting; the class trips at 7.2 x in {:g} s at the earliest.",
                           figure_text(c.start.current_a, 1), figure_text(ratio, 1),
                           models::earliest_trip_at_7_2_s(w.trip_class));
    t.source =
        "trip classes of IEC 60947-4-1 from memory; between currents by equal heat: own choice, no source";
    if (t.verdict != Verdict::pass)
        t.change = "A slower trip class that the motor's manual allows, or a start with less current.";
    checks.push_back(t);
}

}  // namespace

void check_motor(Design const& d, std::vector<Check>& checks) {
    constexpr std::string_view heading = "Motor and inverter";
    Scenario const& s = *d.scenario;
    for (auto const& p : d.pumps) {
        auto const& m = *p.motor;
        Check v = titled("motor-volts", heading, "Motor voltage", p);
        double const volts = source_v(s.inverter, m.volts);
        v.value = m.volts, v.limit = s.inverter.output_v, v.unit = "V";
        v.value_text = fmt::format("{} V, {}-phase", figure_text(m.volts), m.phases);
        v.limit_text = s.inverter.legs == 2
                           ? fmt::format("{}/{} V split", figure_text(s.inverter.output_v / 2),
                                         figure_text(s.inverter.output_v))
                           : fmt::format("{} V", figure_text(s.inverter.output_v));
        v.source = d.iec() ? std::string("rated volts ±10 %: ") + std::string(practice)
                           : "rated volts ±10 %: NEMA MG 1, as a trade article states it";
        v.verdict = volts > 0 || p.drive != nullptr ? Verdict::pass : Verdict::fail;
        if (v.verdict == Verdict::fail && s.inverter.legs == 3)
            v.change =
                "The inverter does not make these volts between two phases: another motor or connection.";
        else if (v.verdict == Verdict::fail)
            v.change =
                "The inverter does not make these volts: split-phase unit, two paired units, or a "
                "transformer rated for the start.";
        else if (p.drive != nullptr)
            v.detail = "A drive feeds the motor; check the drive's own input volts.";
        else
            v.detail =
                s.inverter.legs == 3
                    ? "Between the three phases: the motor needs no neutral, single-phase loads do."
                : volts < 0.75 * s.inverter.output_v ? "Between one leg and neutral: a neutral is needed."
                : s.inverter.legs == 2 ? "Between both legs: the motor needs no neutral, 120 V loads do."
                                       : "On the single output.";
        checks.push_back(v);

        Check w = titled("motor-wiring", heading, "Motor type", p);
        w.limit_text = "-";
        w.source = "two pump makers' manuals";
        bool const phases_fit = m.phases == 1 || p.drive != nullptr || s.inverter.legs == 3;
        w.verdict = phases_fit ? Verdict::pass : Verdict::fail;
        if (!phases_fit) w.change = "A three-phase motor needs a drive or a three-phase inverter.";
        if (m.phases == 3 && p.drive == nullptr) {
            w.value_text = "three-phase";
            w.detail = "Direct on line: a contactor with motor protection; it loads the phases equally.";
            w.source = practice;
        } else
            switch (m.wiring) {
                case MotorWiring::two_wire:
                    w.value_text = "two-wire";
                    w.detail = "Start switch in the well: no soft starter, no drive; highest start current.";
                    break;
                case MotorWiring::three_wire:
                    w.value_text = "three-wire";
                    w.detail = "Control box above ground stays between supply and motor; read its capacitor.";
                    break;
                case MotorWiring::drive:
                    w.value_text = "drive";
                    w.detail = "Ramped by the drive: no surge, a poor power factor.";
                    break;
            }
        checks.push_back(w);

        if (m.soft_start_ratio < 1) {
            Check f = titled("soft-start", heading, "Soft starter", p);
            f.value = m.soft_start_ratio, f.unit = "1";
            f.value_text = fmt::format("{} % current", figure_text(100 * f.value));
            f.limit_text = "maker's consent";
            f.verdict = s.design_check.soft_start_agreed ? Verdict::pass : Verdict::unknown;
            f.change = "Get the motor maker's consent in writing, then set check.soft_start_agreed = true.";
            checks.push_back(f);
        }
    }
    std::complex<double> running = d.loads_va;
    for (auto const& p : d.pumps) running += running_va(p);
    Check r = titled("running-load", heading, "Load, all running");
    at_most(r, std::abs(running), s.inverter.rated_power_w, "VA", tight_power);
    std::tie(r.value_text, r.limit_text) = power_texts(r.value, r.limit, "VA");
    r.source = "inverter data sheet, no derating for heat; band of 25 %: common practice, no source";
    r.detail = fmt::format("Pump {} A, {}.", figure_text(running_a(d.pumps.front()), 1),
                           running_a_source(d.pumps.front()));
    if (r.verdict != Verdict::pass) r.change = "Fewer loads at once, or a larger inverter.";
    if (r.value > r.limit && s.rules.backup != scenarios::Backup::none) {
        double const seconds = models::allowed_seconds(s.inverter, r.value / r.limit);
        r.detail +=
            fmt::format(" If {} with all of it on, ",
                        s.rules.by_hand ? "someone switches back from the bypass" : "grid or generator go");
        r.detail += s.rules.trip_on_overload
                        ? fmt::format("the inverter trips{}.",
                                      seconds > 0 ? fmt::format(" after {} s", figure_text(seconds)) : "")
                        : "what is above the rating goes off: say with inverter.on_overload whether it trips "
                          "instead.";
    }
    checks.push_back(r);

    check_phases(d, checks);
    if (s.inverter.legs != 2) return;
    models::LegLoad legs = d.legs;
    for (auto const& p : d.pumps) {
        auto const va = running_va(p);
        bool const one_leg = p.motor->volts < 0.75 * s.inverter.output_v;
        // A motor on one leg counts on the fuller leg, to be on the safe side.
        bool const first = std::hypot(legs.leg1_w, legs.leg1_var) >= std::hypot(legs.leg2_w, legs.leg2_var);
        (!one_leg ? legs.across_w : first ? legs.leg1_w : legs.leg2_w) += va.real();
        (!one_leg ? legs.across_var : first ? legs.leg1_var : legs.leg2_var) += va.imag();
    }
    auto const balance = models::leg_balance(s.inverter, legs);
    Check l = titled("leg-load", heading, "Fuller leg");
    at_most(l, std::max(balance.leg1_va, balance.leg2_va), s.inverter.rated_power_w / 2, "VA", tight_power);
    std::tie(l.value_text, l.limit_text) = power_texts(l.value, l.limit, "VA");
    l.detail = fmt::format("Imbalance {} %.", figure_text(100 * balance.imbalance));
    l.source = "half the inverter's rating on each leg: common practice, no source";
    if (l.verdict != Verdict::pass) l.change = "Move loads to the other leg, or a larger inverter.";
    checks.push_back(l);
}

void check_start(Design const& d, std::vector<Check>& checks) {
    MeasuredStart const measured = d.scenario->design_check.on_inverter;
    for (auto const& p : d.pumps) {
        Chain const c = chain_of(d, p, d.scenario->wiring.source_sag);
        std::size_t const first = checks.size();
        check_surge(d, p, c, checks);
        check_motor_volts(d, p, c, checks);
        // A start that succeeded proves surge and voltage, but not that a low and cold battery can do it.
        if (measured == MeasuredStart::succeeded && p.cabled)
            for (std::size_t i = first; i < checks.size(); ++i) {
                if (checks[i].verdict == Verdict::pass) continue;
                checks[i].detail +=
                    fmt::format(" Calculated: {}, but it started on site.", name(checks[i].verdict));
                checks[i].verdict = Verdict::pass;
            }
        if (measured == MeasuredStart::failed && p.cabled) {
            checks[first].detail +=
                fmt::format(" Calculated: {}, but it failed on site.", name(checks[first].verdict));
            checks[first].verdict = Verdict::fail;
            checks[first].change = "Check control box first, then measure volts at the motor's terminals.";
        }
        check_battery_start(d, p, c, checks);
        if (p.cabled) {
            check_breaker_start(d, c, checks);
            check_protection(d, p, c, checks);
        }
    }
    if (measured == MeasuredStart::none) return;
    Check k = titled("start-measured", start_group, "Start tried on site");
    k.value_text = measured == MeasuredStart::failed ? "failed" : "succeeded";
    k.limit_text = "-";
    k.verdict = models::with_measurement(Verdict::unknown, measured);
    k.source = "measured on site; overrides the tables";
    k.provenance = "measured";
    k.change = measured == MeasuredStart::failed
                   ? "Check control box first: capacitor, relay, wiring."
                   : "Repeat it with the battery at half charge before hand-over.";
    checks.push_back(k);
}

}  // namespace holdwater::sim::check_detail
