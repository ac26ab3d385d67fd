#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace holdwater::weather {

/// Value below which a standard normal variable falls with probability `p`, 0 < p < 1.
/// Start: Abramowitz & Stegun 26.2.23; then three Halley steps on erfc. Correct to 1e-12 for p from 1e-12.
inline double normal_quantile(double p) {
    double const tail = std::min(p, 1 - p);
    double const t = std::sqrt(-2 * std::log(tail));
    double x =
        t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    if (p < 0.5) x = -x;
    for (int step = 0; step < 3; ++step) {
        double const off = (0.5 * std::erfc(-x / std::numbers::sqrt2) - p) * std::sqrt(2 * std::numbers::pi) *
                           std::exp(0.5 * x * x);
        x -= off / (1 + 0.5 * x * off);
    }
    return x;
}

/// Share of a standard normal variable below `x`.
inline double normal_share_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

/// Random numbers that are the same with every compiler: the engine is fixed bit by bit by the C++ standard,
/// the maps from its output are our own because those of the standard library are not fixed.
struct Random {
    std::mt19937_64 engine;
    explicit Random(std::uint64_t seed) : engine(seed) {}
    /// Uniform between 0 and 1, ends excluded; 53 bits.
    double uniform() { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53; }
    double normal() { return normal_quantile(uniform()); }
};

}  // namespace holdwater::weather
