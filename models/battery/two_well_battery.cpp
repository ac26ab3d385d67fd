#include "models/battery/two_well_battery.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <limits>
#include <numeric>
#include <unsupported/Eigen/LevenbergMarquardt>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

// Time at which the available well stops rising and begins to fall, or the reverse: where e^-kt = g / h. A
// value <= 0 if it never does.
double turning_h(TwoWellParameters const& p, TwoWellState const& from, double draw_kw) {
    auto const motion = available_motion(p, rates_of(p), levels_of(p, from), draw_kw);
    double const ratio = motion.g_kw / motion.h_kw;
    return ratio > 0 && ratio < 1 ? -std::log(ratio) / p.exchange_per_h : 0;
}

// Energy that the available well approaches at a constant draw [kWh].
double settled_available_kwh(TwoWellParameters const& p, TwoWellState const& from, double draw_kw) {
    double const c = p.available_fraction, s = p.self_discharge_per_h;
    if (s == 0) return draw_kw == 0 ? c * stored_kwh(from) : -std::copysign(never_h, draw_kw);
    return c * (-draw_kw / s - (1 - c) * draw_kw / (c * (p.exchange_per_h + s)));
}

}  // namespace

void validate(TwoWellParameters const& p) {
    require(p.capacity_kwh >= 0 && std::isfinite(p.capacity_kwh), "capacity_kwh", p.capacity_kwh,
            "must be >= 0 and finite");
    require(p.available_fraction > 0 && p.available_fraction < 1, "available_fraction", p.available_fraction,
            "must be between 0 and 1, ends excluded");
    require(p.exchange_per_h > 0 && std::isfinite(p.exchange_per_h), "exchange_per_h", p.exchange_per_h,
            "must be above 0");
    require(p.self_discharge_per_h >= 0 && p.self_discharge_per_h < 0.1, "self_discharge_per_h",
            p.self_discharge_per_h, "must be at least 0 and below 0.1: 3 % a month is 4.2e-5");
}

double hours_until_available(TwoWellParameters const& p, TwoWellState const& from, double draw_kw,
                             double level_kwh) {
    auto const rates = rates_of(p);
    auto const above_kwh = [&](double hours) {
        return after(p, rates, from, draw_kw, hours).available_kwh - level_kwh;
    };
    double start_h = 0, start_kwh = from.available_kwh - level_kwh;
    if (start_kwh == 0) return 0;
    double end_h = turning_h(p, from, draw_kw);
    double end_kwh = end_h > 0 ? above_kwh(end_h) : start_kwh;
    if (end_h <= 0 || start_kwh * end_kwh > 0) {
        // Not reached before the turn, or there is no turn. From here on the well moves in one direction
        // only.
        start_h = std::max(0.0, end_h);
        start_kwh = end_kwh;
        double const settled_kwh = settled_available_kwh(p, from, draw_kw) - level_kwh;
        if (!(settled_kwh * start_kwh < 0)) return never_h;
        double stride_h = 1;
        for (end_h = start_h + stride_h; (end_kwh = above_kwh(end_h)) * start_kwh > 0; end_h += stride_h) {
            if (end_h > 1e9) return never_h;
            start_h = end_h;
            start_kwh = end_kwh;
            stride_h *= 2;
        }
    }
    if (end_kwh == 0) return end_h;
    // Apart from self-discharge, the curve has no inflection between the turn and the crossing, so Newton's
    // method converges in a few steps. If a step leaves the bracket, the bracketing solver takes over.
    auto const levels = levels_of(p, from);
    auto const motion = available_motion(p, rates, levels, draw_kw);
    double at_h = start_h;
    for (int i = 0; i < 12; ++i) {
        double const step_h = newton_step_h(p, rates, levels, motion, draw_kw, at_h, level_kwh);
        if (!(at_h - step_h >= start_h && at_h - step_h <= end_h)) break;
        at_h -= step_h;
        if (std::abs(step_h) <= 1e-8 * at_h) return at_h;  // the next step would be about 1e-16 of it
    }
    std::uintmax_t steps = 100;
    auto const [low_h, high_h] = boost::math::tools::toms748_solve(
        above_kwh, start_h, end_h, start_kwh, end_kwh, boost::math::tools::eps_tolerance<double>(50), steps);
    return std::midpoint(low_h, high_h);
}

double hours_until_stored(TwoWellParameters const& p, TwoWellState const& from, double draw_kw,
                          double level_kwh) {
    double const gap_kwh = level_kwh - stored_kwh(from), s = p.self_discharge_per_h;
    if (gap_kwh == 0) return 0;
    double const rate_kw = -draw_kw - s * stored_kwh(from);
    if (!(gap_kwh * rate_kw > 0)) return never_h;
    double const linear_h = gap_kwh / rate_kw;
    if (s == 0) return linear_h;
    return s * linear_h < 1 ? -std::log1p(-s * linear_h) / s : never_h;
}

double capacity_at_hours_kwh(TwoWellParameters const& p, double hours) {
    TwoWellParameters ideal = p;
    ideal.self_discharge_per_h = 0;
    return max_draw_kw(ideal, at_rest(ideal, ideal.capacity_kwh), hours) * hours;
}

namespace {

struct CapacityResiduals : Eigen::DenseFunctor<double> {
    std::vector<RatedCapacity> const& table;

    explicit CapacityResiduals(std::vector<RatedCapacity> const& rows)
        : Eigen::DenseFunctor<double>(3, static_cast<int>(rows.size())), table(rows) {}

    static TwoWellParameters parameters(Eigen::VectorXd const& x) {
        return {std::exp(x[2]), 1 / (1 + std::exp(-x[0])), std::exp(x[1]), 0};
    }

    int operator()(Eigen::VectorXd const& x, Eigen::VectorXd& residual) const {
        TwoWellParameters const p = parameters(x);
        for (Eigen::Index i = 0; i < residual.size(); ++i) {
            auto const [hours, capacity_kwh] = table[static_cast<std::size_t>(i)];
            residual[i] = capacity_at_hours_kwh(p, hours) / capacity_kwh - 1;
        }
        return 0;
    }

    // Central differences: the residuals are smooth and cheap to compute.
    int df(Eigen::VectorXd const& x, Eigen::MatrixXd& jacobian) const {
        Eigen::VectorXd up(values()), down(values());
        for (Eigen::Index j = 0; j < x.size(); ++j) {
            Eigen::VectorXd moved = x;
            double constexpr step = 1e-5;
            moved[j] = x[j] + step;
            (*this)(moved, up);
            moved[j] = x[j] - step;
            (*this)(moved, down);
            jacobian.col(j) = (up - down) / (2 * step);
        }
        return 0;
    }
};

}  // namespace

TwoWellFit fit_two_well(std::vector<RatedCapacity> const& table) {
    require(table.size() >= 3, "rated capacities", static_cast<double>(table.size()),
            "at least 3 rows are needed: capacity, fraction and exchange are three unknowns");
    for (std::size_t i = 0; i < table.size(); ++i) {
        require(table[i].hours > 0, "hours", table[i].hours, "must be above 0");
        require(table[i].capacity_kwh > 0, "rated capacity", table[i].capacity_kwh, "must be above 0");
        if (i == 0) continue;
        require(table[i].hours > table[i - 1].hours, "hours", table[i].hours, "must rise from row to row");
        require(table[i].capacity_kwh >= table[i - 1].capacity_kwh, "rated capacity", table[i].capacity_kwh,
                "must not fall while the hours rise: a slower discharge gives more");
    }
    double const span = table.back().hours / table.front().hours;
    require(span >= 10, "hours", span, "must span at least 10 to 1 between the first and the last row");

    CapacityResiduals residuals(table);
    Eigen::VectorXd x(3);
    x << 0, std::log(0.37), std::log(1.05 * table.back().capacity_kwh);
    Eigen::LevenbergMarquardt<CapacityResiduals> search(residuals);
    search.setFtol(1e-14);
    search.setXtol(1e-12);
    search.minimize(x);

    Eigen::VectorXd residual(residuals.values());
    residuals(x, residual);
    TwoWellParameters const p = CapacityResiduals::parameters(x);
    return {p, residual.cwiseAbs().maxCoeff(), p.available_fraction > 0.98};
}

}  // namespace holdwater::models
