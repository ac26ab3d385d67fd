#pragma once

#include <span>

namespace holdwater::models {

/// Confidence of results from repeated years. The hours of one year depend on each other, so one repetition
/// is a whole YEAR. Options that are compared must use the same seeds.

struct Interval {
    double center = 0, low = 0, high = 0;
};

double mean(std::span<double const> values);

/// Standard deviation of a sample (n - 1); 0 for fewer than two values.
double sample_deviation(std::span<double const> values);

/// Half-width of the confidence interval of a mean: t(1 - (1 - confidence)/2, n - 1) s / sqrt(n); infinite
/// for n < 2.
double mean_half_width(double deviation, int n, double confidence = 0.95);

/// Value below which the share `p`, 0 .. 1, of the sample lies: among the sorted values x[0] .. x[n-1] the
/// one at h = p (n - 1), with straight lines between (definition 7 of Hyndman & Fan, The American
/// Statistician 50, 1996, from memory). Values may be infinite. Throws ParameterError if there are no values.
double quantile(std::span<double const> values, double p);

Interval mean_interval(std::span<double const> values, double confidence = 0.95);

/// Exact (Clopper-Pearson) interval of a probability from k of n: the quantiles (1 - confidence)/2 of the
/// beta distribution (k, n - k + 1) and (1 + confidence)/2 of (k + 1, n - k); 0 where k = 0, 1 where k = n.
/// Center is k / n. Source: Clopper & Pearson, Biometrika 26, 1934 (citation from memory).
Interval clopper_pearson_interval(int k, int n, double confidence = 0.9);

}  // namespace holdwater::models
