#include "models/array/single_diode.hpp"

#include <algorithm>
#include <boost/math/special_functions/lambert_w.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {
namespace {

constexpr double dark_w_m2 = 1.0;

struct Slope {
    double current_a = 0, per_v = 0;
};

/// Terminal current and its slope at a diode voltage.
Slope at_diode_voltage(DiodeCurve const& c, double diode_v) {
    double const e = c.saturation_current_a * std::expm1(diode_v / c.a_v);
    return {c.light_current_a - e - diode_v / c.shunt_ohm,
            -(e + c.saturation_current_a) / c.a_v - 1.0 / c.shunt_ohm};
}

/// Solves w + ln w = log_theta, that is w = W(theta), for a theta beyond the range of a double.
double lambert_w0_of_log(double log_theta) {
    if (log_theta < 600.0) return boost::math::lambert_w0(std::exp(log_theta));
    double w = log_theta - std::log(log_theta);
    for (int i = 0; i < 4; ++i) w *= (1.0 + log_theta - std::log(w)) / (1.0 + w);
    return w;
}

struct ValueSlope {
    double value = 0, slope = 0;
};

/// Root of `f`, which falls through zero between low and high. Newton's method from `start` usually takes
/// four or five steps. If a step leaves the bracket or the method does not converge, a bracketing search,
/// which always ends, finds the root.
template <class F>
double falling_root(F const& f, double low, double high, double start) {
    double v = std::clamp(start, low, high);
    for (int step = 0; step < 20; ++step) {
        auto const [value, slope] = f(v);
        if (!(slope < 0)) break;
        double const next = v - value / slope;
        if (!(next >= low && next <= high)) break;
        // Convergence is quadratic: after a step of 1e-10 the error is about 1e-20 v/a.
        if (std::abs(next - v) <= 1e-10 * next) return next;
        v = next;
    }
    auto const value = [&](double x) { return f(x).value; };
    double const f_low = value(low), f_high = value(high);
    if (f_low <= 0) return low;
    if (f_high >= 0) return high;
    std::uintmax_t steps = 200;
    auto const r = boost::math::tools::toms748_solve(value, low, high, f_low, f_high,
                                                     boost::math::tools::eps_tolerance<double>(52), steps);
    return 0.5 * (r.first + r.second);
}

}  // namespace

void validate(SingleDiodeParameters const& p) {
    require(p.a_v >= 0.01 && p.a_v <= 50, "a_v", p.a_v,
            "must be 0.01 to 50 V; about 0.026 V per cell in series");
    require(p.light_current_a >= 0.01 && p.light_current_a <= 100, "light_current_a", p.light_current_a,
            "must be 0.01 to 100 A");
    require(p.saturation_current_a >= 1e-30 && p.saturation_current_a <= 1e-4 * p.light_current_a,
            "saturation_current_a", p.saturation_current_a,
            "must be at least 1e-30 A and at most 1/10000 of the light current");
    double const diode_v = p.a_v * std::log1p(p.light_current_a / p.saturation_current_a);
    require(p.series_ohm >= 0 && p.series_ohm * p.light_current_a <= diode_v, "series_ohm", p.series_ohm,
            "must not be negative, nor drop the whole open-circuit voltage at the light current");
    require(
        p.shunt_ohm <= 1e9 && p.shunt_ohm * p.light_current_a >= diode_v, "shunt_ohm", p.shunt_ohm,
        "must be at most 1e9 ohm, and high enough that the light current through it reaches the open-circuit "
        "voltage");
    require(std::abs(p.alpha_a_per_k) <= 0.005 * p.light_current_a, "alpha_a_per_k", p.alpha_a_per_k,
            "must be within 0.5 % of the light current per K; give A/K, not %/K");
    require(p.band_gap_ev >= 0.5 && p.band_gap_ev <= 2, "band_gap_ev", p.band_gap_ev, "must be 0.5 to 2 eV");
    require(std::abs(p.band_gap_slope_per_k) <= 0.001, "band_gap_slope_per_k", p.band_gap_slope_per_k,
            "must be -0.001 to 0.001 per K");
}

DiodeCurve translate(SingleDiodeParameters const& p, double effective_w_m2, double cell_c) {
    DiodeCurve c;
    if (!(effective_w_m2 >= dark_w_m2)) return c;
    double const t = cell_c + 273.15, dt = t - reference_k, ratio = t / reference_k;
    double const gap_ev = p.band_gap_ev * (1.0 + p.band_gap_slope_per_k * dt);
    c.a_v = p.a_v * ratio;
    c.saturation_current_a = p.saturation_current_a * ratio * ratio * ratio *
                             std::exp((p.band_gap_ev / reference_k - gap_ev / t) / boltzmann_ev_per_k);
    c.light_current_a = std::max(0.0, effective_w_m2 / 1000.0 * (p.light_current_a + p.alpha_a_per_k * dt));
    c.series_ohm = p.series_ohm;
    c.shunt_ohm = p.shunt_ohm * 1000.0 / effective_w_m2;
    return c;
}

double current_a(DiodeCurve const& c, double voltage_v) {
    if (c.light_current_a <= 0) return 0.0;
    // Without current the diode voltage equals the terminal voltage. The sign of the current there shows on
    // which side of the open-circuit voltage we are.
    double const unloaded_a = at_diode_voltage(c, voltage_v).current_a;
    if (!(unloaded_a > 0)) return 0.0;
    double const rs = c.series_ohm, rsh = c.shunt_ohm;
    // Below 1e-12 ohm the drop in Rs is negligible, and the formula would divide by zero.
    if (rs < 1e-12) return unloaded_a;
    double const both_a = c.light_current_a + c.saturation_current_a, sum = rs + rsh;
    double const log_theta = std::log(rs * c.saturation_current_a * rsh / (c.a_v * sum)) +
                             rsh * (rs * both_a + voltage_v) / (c.a_v * sum);
    double const start_a = (rsh * both_a - voltage_v) / sum - c.a_v / rs * lambert_w0_of_log(log_theta);
    // The difference above loses digits where both terms are large. Newton steps in the diode voltage recover
    // them (usually one step; the function is concave and falling, so they cannot diverge). Then the current
    // is taken from the resistor or from the diode, whichever is less sensitive to that voltage.
    double const high_v = std::min(voltage_v + c.light_current_a * rs,
                                   c.a_v * std::log1p(c.light_current_a / c.saturation_current_a));
    double diode_v = std::clamp(voltage_v + start_a * rs, voltage_v, std::max(voltage_v, high_v));
    Slope s = at_diode_voltage(c, diode_v);
    for (int step = 0; step < 100; ++step) {
        double const by_v = (s.current_a - (diode_v - voltage_v) / rs) / (s.per_v - 1.0 / rs);
        diode_v -= by_v;
        s = at_diode_voltage(c, diode_v);
        if (std::abs(by_v) <= 1e-9 * diode_v) break;  // quadratic: the next step would be below rounding
    }
    return std::max(0.0, -s.per_v * rs > 1.0 ? (diode_v - voltage_v) / rs : s.current_a);
}

double short_circuit_current_a(DiodeCurve const& c) { return current_a(c, 0.0); }

double open_circuit_voltage_v(DiodeCurve const& c) {
    if (c.light_current_a <= 0) return 0.0;
    double const ideal = c.a_v * std::log1p(c.light_current_a / c.saturation_current_a);
    double const high = std::min(ideal, c.light_current_a * c.shunt_ohm);
    auto const f = [&](double v) {
        auto const s = at_diode_voltage(c, v);
        return ValueSlope{s.current_a, s.per_v};
    };
    return falling_root(f, 0.0, high, high);
}

MaximumPowerPoint maximum_power_point(DiodeCurve const& c) {
    return maximum_power_point(c, open_circuit_voltage_v(c));
}

MaximumPowerPoint maximum_power_point(DiodeCurve const& c, double open_circuit_v) {
    if (c.light_current_a <= 0 || open_circuit_v <= 0) return {};
    auto const f = [&](double v) {
        auto const s = at_diode_voltage(c, v);
        double const per_v2 = (s.per_v + 1.0 / c.shunt_ohm) / c.a_v;
        double const away_v = v - 2.0 * s.current_a * c.series_ohm;
        return ValueSlope{s.current_a + s.per_v * away_v,
                          2.0 * s.per_v + per_v2 * away_v - 2.0 * s.per_v * s.per_v * c.series_ohm};
    };
    // Without resistors and with exp >> 1 the root is near Voc - a ln(1 + Voc/a).
    double const start = open_circuit_v - c.a_v * std::log1p(open_circuit_v / c.a_v);
    double const v = falling_root(f, 0.5 * open_circuit_v, open_circuit_v, start);
    double const i = at_diode_voltage(c, v).current_a;
    MaximumPowerPoint m{v - i * c.series_ohm, i, 0.0};
    m.power_w = m.voltage_v * m.current_a;
    return m;
}

}  // namespace holdwater::models
