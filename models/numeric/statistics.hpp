#pragma once

#include <span>

namespace holdwater::models {

/// How sure a result of repeated years is. Hours of one year hang together: the repetition is the YEAR.
/// Compared options are to use the same seeds (see paired_difference).

struct Interval {
    double center = 0, low = 0, high = 0;
};

double mean(std::span<double const> values);

/// Standard deviation of a sample, n - 1; 0 for fewer than two values.
double sample_deviation(std::span<double const> values);

/// Half-width of the interval of a mean: t(1 - (1 - confidence)/2, n - 1) s / sqrt(n); infinite for n < 2.
double mean_half_width(double deviation, int n, double confidence = 0.95);

/// Value with the share `p` of the sample below it, 0 .. 1: of the sorted values x[0] .. x[n-1] that at
/// h = p (n - 1), straight lines between (definition 7 of Hyndman & Fan, The American Statistician 50, 1996,
/// from memory). Infinite values may be among them. Throws ParameterError for no values.
double quantile(std::span<double const> values, double p);

Interval mean_interval(std::span<double const> values, double confidence = 0.95);

/// Wilson interval of a probability from k of n: center is k / n. With z the normal quantile,
///   middle (p + z^2/2n) / (1 + z^2/n), half-width z / (1 + z^2/n) sqrt(p (1-p) / n + z^2 / 4n^2).
/// Source: Wilson, J. American Statistical Association 22, 1927 (citation from memory).
Interval wilson_interval(int k, int n, double confidence = 0.95);

/// Exact one-sided upper bound when none of n failed: 1 - (1 - confidence)^(1/n).
double none_failed_upper_bound(int n, double confidence = 0.95);

/// Repetitions needed for a half-width h with deviation s: ceil((z s / h)^2).
int repetitions_needed(double deviation, double half_width, double confidence = 0.95);

/// Interval of the mean of b - a, pair by pair: runs of two options with the same seeds.
Interval paired_difference(std::span<double const> a, std::span<double const> b, double confidence = 0.95);

}  // namespace holdwater::models
