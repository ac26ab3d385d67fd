#include "models/numeric/statistics.hpp"

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <vector>

#include "models/numeric/in_double.hpp"
#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {
namespace {

using StudentsT = boost::math::students_t_distribution<double, InDouble>;
using Beta = boost::math::beta_distribution<double, InDouble>;

}  // namespace

double mean(std::span<double const> values) {
    double sum = 0;
    for (double const v : values) sum += v;
    return values.empty() ? 0 : sum / static_cast<double>(values.size());
}

double sample_deviation(std::span<double const> values) {
    if (values.size() < 2) return 0;
    double const center = mean(values);
    double squares = 0;
    for (double const v : values) squares += (v - center) * (v - center);
    return std::sqrt(squares / static_cast<double>(values.size() - 1));
}

double mean_half_width(double deviation, int n, double confidence) {
    require(confidence > 0 && confidence < 1, "confidence", confidence,
            "must be between 0 and 1: 95 % is 0.95");
    if (n < 2) return std::numeric_limits<double>::infinity();
    return boost::math::quantile(StudentsT(n - 1), 0.5 + confidence / 2) * deviation / std::sqrt(n);
}

double quantile(std::span<double const> values, double p) {
    require(!values.empty(), "values", 0, "must be at least one");
    require(p >= 0 && p <= 1, "p", p, "must be between 0 and 1");
    std::vector<double> sorted(values.begin(), values.end());
    std::sort(sorted.begin(), sorted.end());
    double const at = p * static_cast<double>(sorted.size() - 1), below = std::floor(at);
    auto const i = static_cast<std::size_t>(below);
    double const low = sorted[i], high = sorted[std::min(i + 1, sorted.size() - 1)], share = at - below;
    if (share == 0 || low == high) return low;
    return low + share * (high - low);
}

Interval mean_interval(std::span<double const> values, double confidence) {
    double const center = mean(values);
    double const half =
        mean_half_width(sample_deviation(values), static_cast<int>(values.size()), confidence);
    return {center, center - half, center + half};
}

Interval clopper_pearson_interval(int k, int n, double confidence) {
    require(n >= 1, "n", n, "must be at least 1");
    require(k >= 0 && k <= n, "k", k, "must be between 0 and n");
    require(confidence > 0 && confidence < 1, "confidence", confidence,
            "must be between 0 and 1: 95 % is 0.95");
    double const tail = (1 - confidence) / 2;
    Interval interval{static_cast<double>(k) / n, 0, 1};
    if (k > 0) interval.low = boost::math::quantile(Beta(k, n - k + 1.0), tail);
    if (k < n) interval.high = boost::math::quantile(boost::math::complement(Beta(k + 1.0, n - k), tail));
    return interval;
}

}  // namespace holdwater::models
