#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "models/numeric/statistics.hpp"

namespace holdwater::sim {

/// Share of a figure's variance that one axis makes: alone (first order) and with everything it does together
/// with others (total). Fractions; noise can carry them a little below 0.
struct SobolShare {
    models::Interval first, total;
};

struct SobolAnswer {
    std::vector<SobolShare>
        axes;  ///< empty where there is nothing to share: fewer than 2 samples or no variance
    double mean = 0, variance = 0;
    std::size_t samples = 0;   ///< base samples used
    std::size_t left_out = 0;  ///< base samples with a row that was not run (NaN): left out as a whole
};

/// Sobol indices from the figure's values, in the order of a Sobol plan (d + 2 values a base sample: a, b,
/// then ab_i). With f measured from its mean, sums over the N base samples and V the variance over a and b
/// together:
///   first_i = sum f(b) (f(ab_i) - f(a)) / (N V)      (Saltelli et al., Comput. Phys. Commun. 181 (2010) 259)
///   total_i = sum (f(a) - f(ab_i))^2 / (2 N V)       (Jansen, Comput. Phys. Commun. 117 (1999) 35)
/// both citations from memory. Interval: 2.5 and 97.5 per cent of `resamples` bootstrap answers, base samples
/// drawn with replacement from `seed` (on the wide side for a Sobol sequence, which is more even than
/// chance). Holds for independent axes. A last base sample that is not whole is left away.
SobolAnswer sobol_indices(std::span<double const> values, std::size_t axes, std::uint64_t seed,
                          int resamples = 1000);

}  // namespace holdwater::sim
