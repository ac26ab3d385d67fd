#include "sim/replay/tank_interval.hpp"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

namespace holdwater::sim {
namespace {

// A combination of days whose errors are independent of all others: e + sqrt(tank) d.
struct FreeDay {
    double tank = 0, energy = 0, water = 0;
};

// In a run of n days the matrix of d - d' has 2 on its diagonal and -1 beside it. Its eigenvectors are sines,
// its eigenvalues 2 - 2 cos(k pi / (n + 1)).
std::vector<FreeDay> free_days(std::vector<double> const& energy, std::vector<double> const& water,
                               std::vector<bool> const& apart) {
    std::vector<FreeDay> days(energy.size());
    for (std::size_t first = 0, end = 0; first < days.size(); first = end) {
        for (end = first + 1; end < days.size() && !apart[end];) ++end;
        double const parts = static_cast<double>(end - first) + 1;
        for (std::size_t k = first; k < end; ++k) {
            double const angle = std::numbers::pi * static_cast<double>(k - first + 1) / parts;
            days[k].tank = 2 - 2 * std::cos(angle);
            for (std::size_t i = first; i < end; ++i) {
                double const sine =
                    std::sqrt(2 / parts) * std::sin(angle * static_cast<double>(i - first + 1));
                days[k].energy += sine * energy[i], days[k].water += sine * water[i];
            }
        }
    }
    return days;
}

// The slope at one ratio, and how likely this ratio is.
struct SlopeAtRatio {
    double slope = 0, deviation = 0, weight = 0;
};

}  // namespace

models::Interval tank_interval(std::vector<double> const& energy, std::vector<double> const& water,
                               std::vector<bool> const& apart, double confidence) {
    auto const days = free_days(energy, water, apart);
    double const degrees = static_cast<double>(days.size()) - 1;
    constexpr int ratios = 128;
    std::vector<SlopeAtRatio> slopes(ratios);
    double most_likely = -std::numeric_limits<double>::infinity();
    for (int i = 0; i < ratios; ++i) {
        double const angle = (i + 0.5) / ratios * std::numbers::pi / 2;
        double const own = std::pow(std::sin(angle), 2), tank = std::pow(std::cos(angle), 2);
        double vv = 0, ve = 0, square = 0, log_determinant = 0;
        for (auto const& d : days) {
            double const variance = own + tank * d.tank;
            vv += d.water * d.water / variance, ve += d.water * d.energy / variance;
            log_determinant += std::log(variance);
        }
        double const slope = ve / vv;
        for (auto const& d : days) {
            double const rest = d.energy - slope * d.water;
            square += rest * rest / (own + tank * d.tank);
        }
        // Days that are all exactly in proportion have no scatter.
        square = std::max(square, 1e-30 * slope * slope * vv);
        double const likelihood = -0.5 * (degrees * std::log(square) + log_determinant + std::log(vv));
        slopes[static_cast<std::size_t>(i)] = {slope, std::sqrt(square / degrees / vv), likelihood};
        most_likely = std::max(most_likely, likelihood);
    }
    double all = 0;
    for (auto& s : slopes) all += s.weight = std::exp(s.weight - most_likely);
    models::Interval interval;
    double from = std::numeric_limits<double>::infinity(), to = -from;
    boost::math::students_t const t(degrees);
    double const reach = 1.01 * boost::math::quantile(t, 0.5 + confidence / 2);
    for (auto& s : slopes) {
        s.weight /= all;
        interval.center += s.weight * s.slope;
        from = std::min(from, s.slope - reach * s.deviation);
        to = std::max(to, s.slope + reach * s.deviation);
    }
    auto const where = [&](double share) {
        auto const beyond = [&](double slope) {
            double sum = -share;
            for (auto const& s : slopes)
                sum += s.weight * boost::math::cdf(t, (slope - s.slope) / s.deviation);
            return sum;
        };
        std::uintmax_t steps = 100;
        auto const found = boost::math::tools::toms748_solve(
            beyond, from, to, boost::math::tools::eps_tolerance<double>(40), steps);
        return 0.5 * (found.first + found.second);
    };
    interval.low = where(0.5 - confidence / 2);
    interval.high = where(0.5 + confidence / 2);
    return interval;
}

}  // namespace holdwater::sim
