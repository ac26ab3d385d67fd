#pragma once

#include <vector>

#include "models/numeric/statistics.hpp"

namespace holdwater::sim {

/// Energy for the water, from days of which each begins where the one before ended unless `apart` says
/// otherwise. What a day's energy is off its share is e + d - d', where d is what the tank holds less at its
/// end and d' at its beginning. Given the ratio of the standard deviations of e and d, the slope is by
/// generalized least squares and its interval by t (days - 1). The log does not say this ratio well either,
/// so the interval is that of the mixture over all ratios, each with its restricted likelihood. Before the
/// log is seen the angle whose tangent is the ratio is equally likely everywhere (half-Cauchy, which treats
/// the two alike). Sources, from memory: restricted likelihood, Patterson & Thompson, Biometrika 58, 1971;
/// mixture of t over the ratio, Box & Tiao, Bayesian Inference in Statistical Analysis, 1973; half-Cauchy,
/// Gelman, Bayesian Analysis 1, 2006. Effective degrees of freedom (Welch-Satterthwaite, JCGM 100:2008 G.4)
/// are no way here: they go to 0 where e seems to be 0, which is common.
models::Interval tank_interval(std::vector<double> const& energy, std::vector<double> const& water,
                               std::vector<bool> const& apart, double confidence);

}  // namespace holdwater::sim
