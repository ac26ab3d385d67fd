#include "models/numeric/monotone_cubic.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

double end_slope(double h0, double h1, double m0, double m1) {
    double const d = ((2 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
    if (d * m0 <= 0) return 0;
    if (m0 * m1 <= 0 && std::abs(d) > 3 * std::abs(m0)) return 3 * m0;
    return d;
}

void require_rising(std::vector<double> const& x, std::vector<double> const& y) {
    require(x.size() >= 2 && x.size() == y.size(), "points", static_cast<double>(x.size()),
            "needs two points or more, each with both coordinates");
    for (std::size_t i = 1; i < x.size(); ++i)
        require(x[i] > x[i - 1], "x", x[i], "must rise from point to point");
}

}  // namespace

std::vector<double> monotone_slopes(std::vector<double> const& x, std::vector<double> const& y) {
    require_rising(x, y);
    std::size_t const n = x.size();
    std::vector<double> h(n - 1), m(n - 1), d(n);
    for (std::size_t i = 0; i + 1 < n; ++i) {
        h[i] = x[i + 1] - x[i];
        m[i] = (y[i + 1] - y[i]) / h[i];
    }
    if (n == 2) return {m[0], m[0]};
    for (std::size_t i = 1; i + 1 < n; ++i) {
        double const w1 = 2 * h[i] + h[i - 1], w2 = h[i] + 2 * h[i - 1];
        d[i] = m[i - 1] * m[i] <= 0 ? 0 : (w1 + w2) / (w1 / m[i - 1] + w2 / m[i]);
    }
    d[0] = end_slope(h[0], h[1], m[0], m[1]);
    d[n - 1] = end_slope(h[n - 2], h[n - 3], m[n - 2], m[n - 3]);
    return d;
}

MonotoneCubic::MonotoneCubic(std::vector<double> x, std::vector<double> y)
    : first_x_(x.empty() ? 0 : x.front()), last_x_(x.empty() ? 0 : x.back()), cubic_([&] {
          auto slopes = monotone_slopes(x, y);
          return boost::math::interpolators::cubic_hermite<std::vector<double>>(std::move(x), std::move(y),
                                                                                std::move(slopes));
      }()) {}

double MonotoneCubic::operator()(double x) const { return cubic_(std::clamp(x, first_x_, last_x_)); }

double MonotoneCubic::slope(double x) const { return cubic_.prime(std::clamp(x, first_x_, last_x_)); }

}  // namespace holdwater::models
