#include "weather/random.hpp"

namespace holdwater::weather {

namespace {

struct Ratio {
    double above[8], below[8];
    [[nodiscard]] double at(double r) const {
        double numerator = above[7], denominator = below[7];
        for (int i = 6; i >= 0; --i) {
            numerator = numerator * r + above[i];
            denominator = denominator * r + below[i];
        }
        return numerator / denominator;
    }
};

constexpr Ratio middle = {
    {3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
     4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3},
    {1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3, 2.1213794301586595867e4,
     3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3}};
constexpr Ratio tail = {{1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0,
                         3.64784832476320460504e0, 1.27045825245236838258e0, 2.41780725177450611770e-1,
                         2.27238449892691845833e-2, 7.74545014278341407640e-4},
                        {1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
                         1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4,
                         1.05075007164441684324e-9}};
constexpr Ratio far_tail = {{6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0,
                             2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
                             2.71155556874348757815e-5, 2.01033439929228813265e-7},
                            {1, 5.99832206555887937690e-1, 1.36929880922735805310e-1,
                             1.48753612908506148525e-2, 7.86869131145613259100e-4, 1.84631831751005468180e-5,
                             1.42151175831644588870e-7, 2.04426310338993978564e-15}};

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
    double const q = p - 0.5;
    if (std::abs(q) <= 0.425) return q * middle.at(0.180625 - q * q);
    double const r = std::sqrt(-std::log(q < 0 ? p : 1 - p));
    double const x = r <= 5 ? tail.at(r - 1.6) : far_tail.at(r - 5);
    return q < 0 ? -x : x;
}

}  // namespace holdwater::weather
