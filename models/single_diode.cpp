#include "models/single_diode.hpp"

#include <algorithm>
#include <boost/math/special_functions/lambert_w.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "models/parameter_error.hpp"

namespace holdwater::models {
namespace {

constexpr double reference_k = 298.15;
constexpr double boltzmann_ev_per_k = 8.617333262e-5;
constexpr double dark_w_m2 = 1.0;

struct Slope {
    double current_a, per_v;
};

/// Terminal current and its slope at a diode voltage.
Slope at_diode_voltage(DiodeCurve const& c, double diode_v) {
    double const e = c.saturation_current_a * std::exp(diode_v / c.a_v);
    return {c.light_current_a + c.saturation_current_a - e - diode_v / c.shunt_ohm,
            -e / c.a_v - 1.0 / c.shunt_ohm};
}

/// Solves w + ln w = log_theta, that is w = W(theta), for theta beyond the range of a double.
double lambert_w0_of_log(double log_theta) {
    if (log_theta < 600.0) return boost::math::lambert_w0(std::exp(log_theta));
    double w = log_theta - std::log(log_theta);
    for (int i = 0; i < 4; ++i) w *= (1.0 + log_theta - std::log(w)) / (1.0 + w);
    return w;
}

/// `f` falls through zero between low and high.
template <class F>
double bracketed_root(F const& f, double low, double high, double f_low, double f_high) {
    if (f_low <= 0) return low;
    if (f_high >= 0) return high;
    std::uintmax_t steps = 200;
    auto const r = boost::math::tools::toms748_solve(f, low, high, f_low, f_high,
                                                     boost::math::tools::eps_tolerance<double>(50), steps);
    return 0.5 * (r.first + r.second);
}

}  // namespace

void validate(SingleDiodeParameters const& p) {
    require(p.a_v >= 0.01 && p.a_v <= 50, "a_v", p.a_v,
            "must be 0.01 to 50 V; about 0.026 V per cell in series");
    require(p.light_current_a >= 0.01 && p.light_current_a <= 100, "light_current_a", p.light_current_a,
            "must be 0.01 to 100 A");
    require(p.saturation_current_a >= 1e-30 && p.saturation_current_a <= 1e-3 &&
                p.saturation_current_a < p.light_current_a,
            "saturation_current_a", p.saturation_current_a,
            "must be 1e-30 to 1e-3 A and below the light current");
    require(p.series_ohm >= 0 && p.series_ohm <= 50, "series_ohm", p.series_ohm, "must be 0 to 50 ohm");
    require(p.shunt_ohm >= 0.1 && p.shunt_ohm <= 1e9, "shunt_ohm", p.shunt_ohm, "must be 0.1 to 1e9 ohm");
    require(std::abs(p.alpha_a_per_k) <= 0.005 * p.light_current_a, "alpha_a_per_k", p.alpha_a_per_k,
            "must be within 0.5 % of the light current per K; give A/K, not %/K");
    require(p.band_gap_ev >= 0.5 && p.band_gap_ev <= 3, "band_gap_ev", p.band_gap_ev, "must be 0.5 to 3 eV");
    require(std::abs(p.band_gap_slope_per_k) <= 0.002, "band_gap_slope_per_k", p.band_gap_slope_per_k,
            "must be -0.002 to 0.002 per K");
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
    double const rs = c.series_ohm, rsh = c.shunt_ohm;
    double const both_a = c.light_current_a + c.saturation_current_a;
    // Below 1e-9 ohm the drop in Rs cannot be seen in a double, and the formula would divide by nothing.
    if (rs < 1e-9) {
        if (voltage_v > c.a_v * std::log1p(c.light_current_a / c.saturation_current_a)) return 0.0;
        return std::max(0.0, at_diode_voltage(c, voltage_v).current_a);
    }
    double const sum = rs + rsh;
    double const log_theta = std::log(rs * c.saturation_current_a * rsh / (c.a_v * sum)) +
                             rsh * (rs * both_a + voltage_v) / (c.a_v * sum);
    return std::max(0.0, (rsh * both_a - voltage_v) / sum - c.a_v / rs * lambert_w0_of_log(log_theta));
}

double short_circuit_current_a(DiodeCurve const& c) { return current_a(c, 0.0); }

double open_circuit_voltage_v(DiodeCurve const& c) {
    if (c.light_current_a <= 0) return 0.0;
    double const ideal = c.a_v * std::log1p(c.light_current_a / c.saturation_current_a);
    double const high = std::min(ideal, c.light_current_a * c.shunt_ohm);
    auto const f = [&](double v) { return at_diode_voltage(c, v).current_a; };
    return bracketed_root(f, 0.0, high, c.light_current_a, f(high));
}

MaximumPowerPoint maximum_power_point(DiodeCurve const& c) {
    return maximum_power_point(c, open_circuit_voltage_v(c));
}

MaximumPowerPoint maximum_power_point(DiodeCurve const& c, double open_circuit_v) {
    if (c.light_current_a <= 0 || open_circuit_v <= 0) return {};
    auto const slope = [&](double v) {
        auto const s = at_diode_voltage(c, v);
        return s.current_a + s.per_v * (v - 2.0 * s.current_a * c.series_ohm);
    };
    double const low = 0.5 * open_circuit_v;
    double const v = bracketed_root(slope, low, open_circuit_v, slope(low), slope(open_circuit_v));
    double const i = at_diode_voltage(c, v).current_a;
    MaximumPowerPoint m{v - i * c.series_ohm, i, 0.0};
    m.power_w = m.voltage_v * m.current_a;
    return m;
}

}  // namespace holdwater::models
