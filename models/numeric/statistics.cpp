#include "models/numeric/statistics.hpp"

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <vector>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

double normal_quantile(double confidence) {
    require(confidence > 0 && confidence < 1, "confidence", confidence,
            "must be between 0 and 1: 95 % is 0.95");
    return boost::math::quantile(boost::math::normal(), 0.5 + confidence / 2);
}

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
    boost::math::students_t const student(n - 1);
    return boost::math::quantile(student, 0.5 + confidence / 2) * deviation / std::sqrt(n);
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

Interval wilson_interval(int k, int n, double confidence) {
    require(n >= 1, "n", n, "must be at least 1");
    require(k >= 0 && k <= n, "k", k, "must be between 0 and n");
    double const z = normal_quantile(confidence), p = static_cast<double>(k) / n;
    double const scale = 1 + z * z / n, middle = (p + z * z / (2.0 * n)) / scale;
    double const half = z / scale * std::sqrt(p * (1 - p) / n + z * z / (4.0 * n * n));
    return {p, std::max(0.0, middle - half), std::min(1.0, middle + half)};
}

Interval clopper_pearson_interval(int k, int n, double confidence) {
    require(n >= 1, "n", n, "must be at least 1");
    require(k >= 0 && k <= n, "k", k, "must be between 0 and n");
    require(confidence > 0 && confidence < 1, "confidence", confidence,
            "must be between 0 and 1: 95 % is 0.95");
    double const tail = (1 - confidence) / 2;
    Interval interval{static_cast<double>(k) / n, 0, 1};
    if (k > 0) interval.low = boost::math::quantile(boost::math::beta_distribution<>(k, n - k + 1.0), tail);
    if (k < n)
        interval.high = boost::math::quantile(
            boost::math::complement(boost::math::beta_distribution<>(k + 1.0, n - k), tail));
    return interval;
}

double none_failed_upper_bound(int n, double confidence) {
    require(n >= 1, "n", n, "must be at least 1");
    return -std::expm1(std::log1p(-confidence) / n);
}

int repetitions_needed(double deviation, double half_width, double confidence) {
    require(half_width > 0, "half_width", half_width, "must be above 0");
    double const ratio = normal_quantile(confidence) * deviation / half_width;
    double const needed = std::ceil(ratio * ratio);
    require(needed <= std::numeric_limits<int>::max(), "half_width", half_width,
            "asks for more repetitions than can be counted");
    return static_cast<int>(needed);
}

Interval paired_difference(std::span<double const> a, std::span<double const> b, double confidence) {
    require(a.size() == b.size(), "pairs", static_cast<double>(b.size()),
            "must be as many as there are of the other option");
    std::vector<double> difference(a.size());
    std::transform(b.begin(), b.end(), a.begin(), difference.begin(), std::minus<>());
    return mean_interval(difference, confidence);
}

}  // namespace holdwater::models
