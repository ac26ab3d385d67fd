#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace holdwater::weather {

/// Value below which a standard normal variable falls with probability `p`, 0 < p < 1, from Boost.Math.
double normal_quantile(double p);

/// Share of a standard normal variable below `x`.
inline double normal_share_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

/// Random numbers that are the same with every compiler. The C++ standard fixes every bit of the engine; the
/// distributions are our own, because the standard does not fix those of the library.
struct Random {
    std::mt19937_64 engine;
    explicit Random(std::uint64_t seed) : engine(seed) {}
    /// Uniform between 0 and 1, ends excluded; 53 bits.
    double uniform() { return (static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53; }
    double normal() { return normal_quantile(uniform()); }
};

}  // namespace holdwater::weather
