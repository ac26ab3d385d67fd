#include "models/inverter.hpp"

#include <Eigen/Dense>
#include <limits>

#include "models/parameter_error.hpp"

namespace holdwater::models {

void validate(InverterParameters const& p) {
    require(p.rated_power_w > 0 && std::isfinite(p.rated_power_w), "rated_power_w", p.rated_power_w,
            "must be above 0");
    require(p.idle_w >= 0 && p.idle_w < p.rated_power_w, "idle_w", p.idle_w,
            "must be at least 0 and below the rating");
    require(p.k1 > -1 && p.k1 < 1, "k1", p.k1, "must be between -1 and 1");
    require(p.k2 >= 0 && p.k2 < 1, "k2", p.k2, "must be at least 0 and below 1");
    require(p.output_v > 0, "output_v", p.output_v, "must be above 0");
    require(p.legs == 1 || p.legs == 2, "legs", p.legs, "must be 1 (single output) or 2 (split phase)");
    require(p.search_w >= 0 && p.search_w <= p.idle_w, "search_w", p.search_w,
            "must be at least 0 and not above the idle draw");
    require(p.search_wake_w >= 0, "search_wake_w", p.search_wake_w, "must be >= 0");
    require(p.low_voltage_v >= 0, "low_voltage_v", p.low_voltage_v, "must be >= 0");
    require(p.pass_through_va > 0, "pass_through_va", p.pass_through_va, "must be above 0");
    for (std::size_t i = 0; i < p.surge.size(); ++i) {
        auto const [ratio, seconds] = p.surge[i];
        require(ratio > 1, "surge ratio", ratio, "must be above 1: it is a multiple of the rating");
        require(seconds > 0, "surge seconds", seconds,
                "must be above 0: a surge rating without seconds says nothing");
        if (i > 0)
            require(ratio < p.surge[i - 1].ratio && seconds > p.surge[i - 1].seconds, "surge ratio", ratio,
                    "must fall from row to row while the seconds rise");
    }
}

namespace {

struct Weight {
    double load = 0, weight = 0;
};

template <std::size_t n>
double weighted_efficiency(InverterParameters const& p, Weight const (&weights)[n]) {
    double sum = 0;
    for (auto const& [load, weight] : weights) sum += weight * efficiency(p, load * p.rated_power_w);
    return sum;
}

}  // namespace

double european_efficiency(InverterParameters const& p) {
    return weighted_efficiency(
        p, {{0.05, 0.03}, {0.10, 0.06}, {0.20, 0.13}, {0.30, 0.10}, {0.50, 0.48}, {1.00, 0.20}});
}

double californian_efficiency(InverterParameters const& p) {
    return weighted_efficiency(
        p, {{0.10, 0.04}, {0.20, 0.05}, {0.30, 0.12}, {0.50, 0.21}, {0.75, 0.53}, {1.00, 0.05}});
}

void check_motor_voltage(InverterParameters const& p, double motor_v) {
    auto const suits = [motor_v](double output_v) { return std::abs(motor_v - output_v) <= 0.1 * output_v; };
    require(suits(p.output_v) || (p.legs == 2 && suits(p.output_v / 2)), "motor volts", motor_v,
            "the inverter does not make this voltage: use a split-phase inverter, two units as a pair, or a "
            "transformer rated for the start");
}

LossCurve fit_loss_curve(double efficiency_at_10, double efficiency_at_50, double efficiency_at_100) {
    for (auto [field, value] : {std::pair{"efficiency_at_10", efficiency_at_10},
                                {"efficiency_at_50", efficiency_at_50},
                                {"efficiency_at_100", efficiency_at_100}})
        require(value > 0 && value < 1, field, value, "must be between 0 and 1, ends excluded");
    Eigen::Vector3d const p(0.1, 0.5, 1.0);
    Eigen::Vector3d const loss =
        p.array() * (1 / Eigen::Array3d(efficiency_at_10, efficiency_at_50, efficiency_at_100) - 1);
    Eigen::Matrix3d basis;
    basis << Eigen::Vector3d::Ones(), p, p.cwiseProduct(p);

    Eigen::Vector3d curve = basis.partialPivLu().solve(loss);
    bool const inconsistent = curve[0] < 0 || curve[2] < 0;
    if (inconsistent) {
        // Hold p0, k2 or both at zero, fit the rest, keep the best that is allowed.
        double best = std::numeric_limits<double>::infinity();
        for (auto const& columns : {std::vector<int>{0, 1}, {1, 2}, {1}}) {
            Eigen::MatrixXd part(3, static_cast<Eigen::Index>(columns.size()));
            for (std::size_t j = 0; j < columns.size(); ++j)
                part.col(static_cast<Eigen::Index>(j)) = basis.col(columns[j]);
            Eigen::VectorXd const fitted = part.colPivHouseholderQr().solve(loss);
            Eigen::Vector3d trial = Eigen::Vector3d::Zero();
            for (std::size_t j = 0; j < columns.size(); ++j)
                trial[columns[j]] = fitted[static_cast<Eigen::Index>(j)];
            double const residual = (basis * trial - loss).norm();
            if (trial[0] >= 0 && trial[2] >= 0 && residual < best) {
                best = residual;
                curve = trial;
            }
        }
    }
    double const p0 = curve[0], k1 = curve[1], k2 = curve[2];
    double lowest = std::min(p0, p0 + k1 + k2);
    if (k1 < 0 && k2 > 0 && -k1 < 2 * k2) lowest = p0 - k1 * k1 / (4 * k2);
    require(lowest >= 0, "efficiency_at_10", efficiency_at_10,
            "with the other two implies a negative loss at some load: check the three efficiencies");
    return {p0, k1, k2, inconsistent, lowest < 0.8 * p0};
}

}  // namespace holdwater::models
