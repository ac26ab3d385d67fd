#include "weather/random.hpp"

#include <boost/math/distributions/normal.hpp>

#include "models/numeric/in_double.hpp"

namespace holdwater::weather {

namespace {

std::array<double, 1025> hourly_quantiles() {
    std::array<double, 1025> q{};
    for (std::size_t i = 1; i < 1024; ++i) q[i] = normal_quantile(static_cast<double>(i) / 1024);
    // The end values represent everything beyond them, so that the variance of the straight lines is 1.
    q[0] = normal_quantile(0.25 / 1024);
    q[1024] = -q[0];
    return q;
}

}  // namespace

std::array<double, 1025> const HourlyNormals::quantiles = hourly_quantiles();

double normal_quantile(double p) {
    return boost::math::quantile(boost::math::normal_distribution<double, models::InDouble>(), p);
}

}  // namespace holdwater::weather
