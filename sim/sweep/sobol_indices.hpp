#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "models/numeric/statistics.hpp"

namespace holdwater::sim {

/// Share of the variance of a figure that one axis causes: alone (first order), and together with the other
/// axes (total). Fractions; because of sampling noise they can be a little below 0.
struct SobolShare {
    models::Interval first, total;
};

struct SobolAnswer {
    std::vector<SobolShare>
        axes;  ///< empty if there is nothing to compute: fewer than 2 samples or no variance
    double mean = 0, variance = 0;
    std::size_t samples = 0;   ///< base samples used
    std::size_t left_out = 0;  ///< base samples with a row that was not run (NaN): not used at all
};

/// Sobol indices from the values of the figure, in the order of a Sobol plan (d + 2 values for each base
/// sample: a, b, then ab_i). f is measured from its mean, the sums are over the N base samples, and V is the
/// variance over a and b together:
///   first_i = sum f(b) (f(ab_i) - f(a)) / (N V)      (Saltelli et al., Comput. Phys. Commun. 181 (2010) 259)
///   total_i = sum (f(a) - f(ab_i))^2 / (2 N V)       (Jansen, Comput. Phys. Commun. 117 (1999) 35)
/// Both citations from memory. Interval: 2.5 and 97.5 percent of `resamples` bootstrap results, for which
/// base samples are taken at random with replacement, from `seed` (the interval is rather too wide, because a
/// Sobol sequence is more even than random numbers). Holds for independent axes. An incomplete last base
/// sample is not used.
SobolAnswer sobol_indices(std::span<double const> values, std::size_t axes, std::uint64_t seed,
                          int resamples = 1000);

}  // namespace holdwater::sim
