#include "models/array/single_diode_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {
namespace {

constexpr double beta_step_k = 10.0;

using Vector = Eigen::VectorXd;

/// (a, IL, ln I00, Rs, 1/Rsh) -> parameters.
SingleDiodeParameters parameters(Vector const& x, double alpha_a_per_k) {
    SingleDiodeParameters p;
    p.a_v = x[0];
    p.light_current_a = x[1];
    p.saturation_current_a = std::exp(x[2]);
    p.series_ohm = x[3];
    p.shunt_ohm = 1.0 / x[4];
    p.alpha_a_per_k = alpha_a_per_k;
    return p;
}

double left_over_a(DiodeCurve const& c, double v, double i) {
    double const diode_v = v + i * c.series_ohm;
    return c.light_current_a - c.saturation_current_a * std::expm1(diode_v / c.a_v) - diode_v / c.shunt_ohm -
           i;
}

/// Relative errors of the first `count` of equations 1 to 5.
Vector residuals(Vector const& x, ModuleDatasheet const& d, Eigen::Index count) {
    auto const p = parameters(x, d.alpha_a_per_k);
    auto const c = translate(p, 1000, 25), warm = translate(p, 1000, 25 + beta_step_k);
    double const g = c.saturation_current_a / c.a_v * std::exp((d.vmp_v + d.imp_a * c.series_ohm) / c.a_v) +
                     1.0 / c.shunt_ohm;
    Vector r(5);
    r << left_over_a(c, 0, d.isc_a) / d.isc_a, left_over_a(c, d.voc_v, 0) / d.isc_a,
        left_over_a(c, d.vmp_v, d.imp_a) / d.isc_a,
        (d.imp_a / d.vmp_v - g / (1.0 + c.series_ohm * g)) * d.vmp_v / d.imp_a,
        left_over_a(warm, d.voc_v + beta_step_k * d.beta_v_per_k, 0) / d.isc_a;
    return r.head(count);
}

/// Damped Newton method on the first `count` unknowns; nothing if it does not converge.
std::optional<Vector> solve(Vector x, ModuleDatasheet const& d, Eigen::Index count) {
    Vector const unit{{x[0], x[1], 1.0, d.voc_v / d.isc_a * 0.05, 0.01 * d.isc_a / d.voc_v}};
    Vector r = residuals(x, d, count);
    for (int step = 0; step < 200; ++step) {
        if (!r.allFinite()) return std::nullopt;
        if (r.lpNorm<Eigen::Infinity>() < 1e-14) return x;
        Eigen::MatrixXd jacobian(count, count);
        for (Eigen::Index k = 0; k < count; ++k) {
            Vector up = x, down = x;
            double const h = 1e-6 * unit[k];
            up[k] += h;
            down[k] -= h;
            jacobian.col(k) = (residuals(up, d, count) - residuals(down, d, count)) / (2 * h);
        }
        Eigen::FullPivLU<Eigen::MatrixXd> const lu(jacobian);
        if (!lu.isInvertible()) return std::nullopt;
        Vector const full = lu.solve(r);
        double damping = 1.0;
        Vector trial = x, trial_r = r;
        for (; damping > 1e-6; damping *= 0.5) {
            trial = x;
            trial.head(count) -= damping * full;
            if (trial[0] > 0 && trial[1] > 0) {
                trial_r = residuals(trial, d, count);
                if (trial_r.allFinite() && trial_r.norm() < r.norm()) break;
            }
        }
        // No further descent. It has converged if the remaining error is rounding; otherwise it has failed.
        if (damping <= 1e-6) return r.lpNorm<Eigen::Infinity>() < 1e-11 ? std::optional(x) : std::nullopt;
        x = trial;
        r = trial_r;
    }
    return r.lpNorm<Eigen::Infinity>() < 1e-11 ? std::optional(x) : std::nullopt;
}

bool physical(Vector const& x, ModuleDatasheet const& d) {
    if (!(x[3] >= 0 && x[4] > 0)) return false;
    try {
        validate(parameters(x, d.alpha_a_per_k));
    } catch (ParameterError const&) {
        return false;
    }
    return true;
}

SingleDiodeFit report(Vector const& x, ModuleDatasheet const& d, Eigen::Index count) {
    SingleDiodeFit f;
    f.parameters = parameters(x, d.alpha_a_per_k);
    f.shunt_fixed = count < 5;
    f.residual = residuals(x, d, count).lpNorm<Eigen::Infinity>();
    auto const voc_v = [&](double c) { return open_circuit_voltage_v(translate(f.parameters, 1000, c)); };
    auto const power_w = [&](double c) { return maximum_power_point(f.parameters, 1000, c).power_w; };
    f.beta_v_per_k = (voc_v(25 + beta_step_k) - voc_v(25)) / beta_step_k;
    f.gamma_per_k = (power_w(25.1) - power_w(24.9)) / 0.2 / power_w(25);
    f.gamma_25_to_50_per_k = (power_w(50) / power_w(25) - 1) / 25;
    return f;
}

}  // namespace

void validate(ModuleDatasheet const& d) {
    require(d.isc_a >= 0.01 && d.isc_a <= 100, "isc_a", d.isc_a, "must be 0.01 to 100 A");
    require(d.voc_v >= 0.1 && d.voc_v <= 1000, "voc_v", d.voc_v, "must be 0.1 to 1000 V");
    require(d.imp_a >= 0.5 * d.isc_a && d.imp_a < d.isc_a, "imp_a", d.imp_a,
            "must be below the short-circuit current and at least half of it");
    require(d.vmp_v >= 0.5 * d.voc_v && d.vmp_v < d.voc_v, "vmp_v", d.vmp_v,
            "must be below the open-circuit voltage and at least half of it");
    require(d.alpha_a_per_k >= 0 && d.alpha_a_per_k <= 0.002 * d.isc_a, "alpha_a_per_k", d.alpha_a_per_k,
            "must be 0 to 0.2 % of the short-circuit current per K; give A/K, not %/K");
    require(d.beta_v_per_k >= -0.01 * d.voc_v && d.beta_v_per_k <= -0.0005 * d.voc_v, "beta_v_per_k",
            d.beta_v_per_k, "must be -1 % to -0.05 % of the open-circuit voltage per K; give V/K, not %/K");
}

SingleDiodeFit fit_single_diode(ModuleDatasheet const& d) {
    validate(d);
    double const gap_ev = SingleDiodeParameters{}.band_gap_ev;
    double const a_v =
        (d.beta_v_per_k * reference_k - d.voc_v) /
        (d.alpha_a_per_k * reference_k / d.isc_a - 3 - gap_ev / (boltzmann_ev_per_k * reference_k));
    double const start_shunt_ohm = std::clamp(5 * d.vmp_v / (d.isc_a - d.imp_a), 50.0, 500.0);
    double const start_series_ohm =
        std::max(0.0, (a_v * std::log(1 - d.imp_a / d.isc_a) + d.voc_v - d.vmp_v) / d.imp_a);
    Vector const start{
        {a_v, d.isc_a, std::log(d.isc_a) - d.voc_v / a_v, start_series_ohm, 1.0 / start_shunt_ohm}};
    if (auto const x = solve(start, d, 5); x && physical(*x, d)) return report(*x, d, 5);
    for (double shunt_ohm = start_shunt_ohm; shunt_ohm <= 1e6; shunt_ohm *= 10) {
        Vector fixed = start;
        fixed[4] = 1.0 / shunt_ohm;
        if (auto const x = solve(fixed, d, 4); x && physical(*x, d)) return report(*x, d, 4);
    }
    require(false, "vmp_v", d.vmp_v,
            "the data sheet's points fit no single-diode curve: check Isc, Voc, Imp, Vmp, or use the linear "
            "module");
    return {};
}

}  // namespace holdwater::models
