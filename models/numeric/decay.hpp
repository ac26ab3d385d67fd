#pragma once

#include "models/numeric/lanes.hpp"

namespace holdwater::models {

/// Exponential decay and approach over a step, without cancellation in short steps. x >= 0 is the time
/// divided by the time constant; `Real` is double, or lanes. The functions are always inlined, so that they
/// are compiled for wide registers together with their callers.

/// 1 - exp(-x), with the same bits for doubles and lanes; within 4 units of the last digit (one half for each
/// rounding of the sum, of y and of a doubling).
/// It sums the series of (1 - exp(-y)) / y to rounding at y = x / 16 <= 1/4 and then doubles four times,
/// 1 - exp(-2y) = g (2 - g). Above x = 4 it uses the function of the library, lane by lane.
template <class Real>
[[gnu::always_inline]] inline Real gone_share(Real x) {
    Real const y = x * 0.0625, y2 = y * y, y4 = y2 * y2, y8 = y4 * y4;
    // 1 / 1! - y / 2! + y^2 / 3! - ..., summed in pairs to keep the processor's dependency chains short.
    Real const low = (1 - y * (1.0 / 2)) + y2 * (1.0 / 6 - y * (1.0 / 24)),
               middle = (1.0 / 120 - y * (1.0 / 720)) + y2 * (1.0 / 5040 - y * (1.0 / 40320)),
               high = (1.0 / 362880 - y * (1.0 / 3628800)) + y2 * (1.0 / 39916800 - y * (1.0 / 479001600));
    Real g = y * (low + y4 * middle + y8 * high);
    for (int doubling = 0; doubling < 4; ++doubling) g = g * (2 - g);
    auto const far = x > 4;
    if (!any(far)) return g;
    return pick(far, -expm1(-x), g);
}

/// Shares that decay in a time x (divided by the time constant).
template <class Real>
struct Decay {
    Real share{};      ///< 1 - exp(-x): of what is there at the start
    Real shortfall{};  ///< 1 - (1 - exp(-x)) / x: of what is added evenly during the time
};
/// The series are exact to rounding for steps of hours and rates of some percent a month.
template <class Real>
[[gnu::always_inline]] inline Decay<Real> decay(Real x) {
    Real const share = x * (1 - x * (1.0 / 2 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120)))));
    Real const shortfall = x * (0.5 - x * (1.0 / 6 - x * (1.0 / 24 - x * (1.0 / 120))));
    auto const small = x < 1e-3;
    if (all(small)) return {share, shortfall};
    Real const gone = gone_share(x);
    return {pick(small, share, gone), pick(small, shortfall, 1 - gone / x)};
}

/// (1 - exp(-rate t)) / rate [h], for rate = 0 too.
inline double decay_hours(double rate_per_h, double hours) {
    return rate_per_h == 0 ? hours : gone_share(rate_per_h * hours) / rate_per_h;
}

/// -ln(1 - x) / x for 0 <= x < 1.
template <class Real>
[[gnu::always_inline]] inline Real log_stretch(Real x) {
    Real const series = 1 + x * (1.0 / 2 + x * (1.0 / 3 + x * (1.0 / 4 + x * (1.0 / 5 + x * (1.0 / 6)))));
    auto const small = x < 1e-3;  // the bits of a lane must not depend on the other lanes
    return all(small) ? series : pick(small, series, -log1p(-x) / x);
}

}  // namespace holdwater::models
