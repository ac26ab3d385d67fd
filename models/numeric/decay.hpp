#pragma once

#include "models/numeric/lanes.hpp"

namespace holdwater::models {

/// Exponential decay and approach over a step, without cancellation where steps are short. x >= 0 is the time
/// over the time constant; `Real` is double, or lanes. Always inlined: the compilation for wide registers has
/// to take them along.

/// 1 - exp(-x), of doubles and lanes with the same bits; within 4 units of the last digit (a half for
/// each rounding of the sum, of y and of a doubling).
/// The series of (1 - exp(-y)) / y, summed to rounding at y = x / 16 <= 1/4, and four doublings
/// 1 - exp(-2y) = g (2 - g); beyond x = 4 the library's function, lane by lane.
template <class Real>
[[gnu::always_inline]] inline Real gone_share(Real x) {
    Real const y = x * 0.0625, y2 = y * y, y4 = y2 * y2, y8 = y4 * y4;
    // 1 / 1! - y / 2! + y^2 / 3! - ... summed in pairs: short chains for the processor.
    Real const low = (1 - y * (1.0 / 2)) + y2 * (1.0 / 6 - y * (1.0 / 24)),
               middle = (1.0 / 120 - y * (1.0 / 720)) + y2 * (1.0 / 5040 - y * (1.0 / 40320)),
               high = (1.0 / 362880 - y * (1.0 / 3628800)) + y2 * (1.0 / 39916800 - y * (1.0 / 479001600));
    Real g = y * (low + y4 * middle + y8 * high);
    for (int doubling = 0; doubling < 4; ++doubling) g = g * (2 - g);
    auto const far = x > 4;
    if (!any(far)) return g;
    return pick(far, -expm1(-x), g);
}

/// What decays in a time x over the time constant.
template <class Real>
struct Decay {
    Real share{};      ///< 1 - exp(-x): of what is there
    Real shortfall{};  ///< 1 - (1 - exp(-x)) / x: of what comes evenly meanwhile
};
/// The series are exact to rounding where steps of hours and rates of percents a month lie.
template <class Real>
[[gnu::always_inline]] inline Decay<Real> decay(Real x) {
    Real const share = x * (1 - x * (1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120)))));
    Real const shortfall = x * (0.5 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120))));
    auto const small = x < 1e-3;
    if (all(small)) return {share, shortfall};
    Real const gone = gone_share(x);
    return {pick(small, share, gone), pick(small, shortfall, 1 - gone / x)};
}

/// (1 - exp(-rate t)) / rate, also at rate = 0 [h].
inline double decay_hours(double rate_per_h, double hours) {
    return rate_per_h == 0 ? hours : gone_share(rate_per_h * hours) / rate_per_h;
}

/// -ln(1 - x) / x for 0 <= x < 1.
template <class Real>
[[gnu::always_inline]] inline Real log_stretch(Real x) {
    Real const series = 1 + x * (1.0 / 2 + x * (1.0 / 3 + x * (1.0 / 4 + x * (1.0 / 5 + x * (1.0 / 6)))));
    auto const small = x < 1e-3;  // a lane's bits must not depend on the others
    return all(small) ? series : pick(small, series, -log1p(-x) / x);
}

}  // namespace holdwater::models
