#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace holdwater::models {

/// The finalizer of Steele, Lea & Flood, OOPSLA 2014 (constants from memory): it turns 64 bits into 64
/// well-mixed bits.
constexpr std::uint64_t mix_bits(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15U;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9U;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebU;
    return x ^ (x >> 31);
}

/// Seed of one part of the simulation (outages, generator starts, ...) for one year or event. Because of it,
/// an added random number in one part does not change another part.
constexpr std::uint64_t stream_seed(std::uint64_t master, std::uint64_t stream, std::uint64_t year) {
    return mix_bits(mix_bits(mix_bits(master) ^ stream) ^ year);
}

/// 64 random bits to [0, 1): (bits >> 11) 2^-53, the same on every machine.
constexpr double unit_interval(std::uint64_t bits) { return static_cast<double>(bits >> 11) * 0x1p-53; }

/// A lognormal number with mean 1 from two uniform ones in [0, 1) (Box & Muller, Annals of Mathematical
/// Statistics 29 (1958) 610). `spread`: standard deviation / mean, >= 0.
inline double lognormal_factor(double u1, double u2, double spread) {
    double const z = std::sqrt(-2 * std::log1p(-u1)) * std::cos(2 * std::numbers::pi * u2);
    double const variance = std::log1p(spread * spread);
    return std::exp(std::sqrt(variance) * z - variance / 2);
}

}  // namespace holdwater::models
