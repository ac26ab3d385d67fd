#include "models/electric/motor_start.hpp"

#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(LockedRotor const& m) {
    require(m.rated_v > 0 && std::isfinite(m.rated_v), "rated_v", m.rated_v, "must be above 0");
    require(m.current_a > 0 && std::isfinite(m.current_a), "locked-rotor current_a", m.current_a,
            "must be above 0");
    require(m.power_factor > 0 && m.power_factor <= 1, "locked-rotor power_factor", m.power_factor,
            "must be above 0 and at most 1");
    require(m.seconds > 0 && m.seconds <= 60, "start seconds", m.seconds, "must be above 0 and at most 60");
}

void validate(StartPath const& p) {
    require(p.source_v > 0 && std::isfinite(p.source_v), "source_v", p.source_v, "must be above 0");
    require(p.source_sag >= 0 && p.source_sag < 1, "source_sag", p.source_sag,
            "must be at least 0 and below 1");
    require(p.source_ohm.real() >= 0, "source resistance", p.source_ohm.real(), "must be >= 0");
    require(p.cable_ohm.real() >= 0, "cable resistance", p.cable_ohm.real(), "must be >= 0");
}

StartResult start_motor(LockedRotor const& m, StartPath const& path) {
    double const motor_ohm = m.rated_v / m.current_a;
    double const pf = m.power_factor;
    std::complex<double> const motor(motor_ohm * pf, motor_ohm * std::sqrt(1 - pf * pf));
    std::complex<double> const beyond_source = path.cable_ohm + motor;
    double const current_a =
        path.source_v * (1 - path.source_sag) / std::abs(path.source_ohm + beyond_source);
    double const motor_v = current_a * motor_ohm, share = motor_v / m.rated_v;
    return {current_a,
            motor_v,
            share,
            share * share,
            current_a * std::abs(beyond_source),
            current_a * current_a * beyond_source};
}

std::string_view name(Verdict verdict) {
    switch (verdict) {
        case Verdict::pass:
            return "PASS";
        case Verdict::marginal:
            return "MARGINAL";
        case Verdict::fail:
            return "FAIL";
        case Verdict::unknown:
            return "UNKNOWN";
    }
    return "";
}

Verdict verdict_of_margin(double margin, double tight) {
    if (!(margin >= 1)) return Verdict::fail;
    return margin < tight ? Verdict::marginal : Verdict::pass;
}

Verdict with_measurement(Verdict computed, MeasuredStart measured) {
    switch (measured) {
        case MeasuredStart::none:
            return computed;
        case MeasuredStart::succeeded:
            return Verdict::pass;
        case MeasuredStart::failed:
            return Verdict::fail;
    }
    return computed;
}

double start_margin(std::complex<double> start_va, std::complex<double> other_va, double limit_va) {
    double const spare = limit_va * limit_va - std::norm(other_va);
    if (spare <= 0) return 0;
    double const along = (start_va * std::conj(other_va)).real(), size = std::norm(start_va);
    if (size == 0) return std::numeric_limits<double>::infinity();
    return (-along + std::sqrt(along * along + size * spare)) / size;
}

StartCheck check_start(LockedRotor const& motor, StartPath const& path, InverterParameters const& inverter,
                       StartSupply const& supply, std::complex<double> other_va, double least_motor_share,
                       double start_efficiency) {
    StartCheck c{};
    c.start = start_motor(motor, path);
    c.surge_limit_va = surge_va(inverter, motor.seconds);
    c.surge_margin = start_margin(c.start.power_va, other_va, c.surge_limit_va);
    double const dc_w = (c.start.power_va.real() + other_va.real()) / start_efficiency;
    c.dc = terminal_at_power(supply.open_circuit_v, supply.resistance_ohm, dc_w);
    c.voltage_holds = c.start.motor_share >= least_motor_share;
    c.dc_holds =
        !c.dc.collapsed && c.dc.volts >= inverter.low_voltage_v && c.dc.amps <= supply.current_limit_a;
    c.verdict = verdict_of_margin(c.surge_margin);
    if (c.verdict == Verdict::marginal) c.reason = "inverter surge margin is tight";
    if (c.verdict == Verdict::fail) c.reason = "inverter surge rating is too small for the start";
    if (c.verdict != Verdict::fail && !c.voltage_holds)
        c.verdict = Verdict::fail, c.reason = "too little voltage reaches the motor";
    if (c.verdict != Verdict::fail && !c.dc_holds) {
        c.verdict = Verdict::fail;
        if (c.dc.collapsed)
            c.reason = "the battery cannot give this power at all";
        else if (c.dc.volts < inverter.low_voltage_v)
            c.reason = "the battery sags below the inverter's low-voltage cutout";
        else
            c.reason = "the battery's current limit is passed";
    }
    return c;
}

}  // namespace holdwater::models
