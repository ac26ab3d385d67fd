#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace holdwater::models {

/// Eight numbers side by side, one for each scenario. A formula that is a template over its number type uses
/// them instead of a double when several scenarios are computed at once. Arithmetic and comparisons work lane
/// by lane. The helpers below exist for doubles and for lanes, so that each formula is written once.
///
/// Every operation is the IEEE operation of a double, so a lane holds the same bits as a double would,
/// however wide the registers of the processor are.
struct alignas(32) Lanes {  // for 32-byte registers; the portable build needs less
    static constexpr std::size_t count = 8;

    using Part = double __attribute__((vector_size(32)));

    Lanes() = default;
#ifndef __clang__  // GCC 12 takes the four inserts for reads of an uninitialized value
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
    Lanes(double everywhere)  // NOLINT: implicit, because a constant in a formula is the same in every lane
        : low{everywhere, everywhere, everywhere, everywhere}, high(low) {}
#ifndef __clang__
#pragma GCC diagnostic pop
#endif
    Lanes(Part const& low_part, Part const& high_part) : low(low_part), high(high_part) {}
    // Copied part by part; otherwise the compiler copies them through memory.
    Lanes(Lanes const& other) : low(other.low), high(other.high) {}
    Lanes& operator=(Lanes const& other) {
        low = other.low;
        high = other.high;
        return *this;
    }
    /// Number `i` of the series of each lane.
    Lanes(std::array<double const*, count> const& series, std::size_t i)
        : low{series[0][i], series[1][i], series[2][i], series[3][i]},
          high{series[4][i], series[5][i], series[6][i], series[7][i]} {}

    [[nodiscard]] double operator[](std::size_t lane) const { return lane < 4 ? low[lane] : high[lane - 4]; }
    void set(std::size_t lane, double value) {
        if (lane < 4)
            low[lane] = value;
        else
            high[lane - 4] = value;
    }

    // Two members instead of an array, so that the compiler keeps them in registers.
    Part low, high;
};

/// True or false for each lane.
struct alignas(32) LaneMask {
    using Part = long long __attribute__((vector_size(32)));

    LaneMask() = default;
    LaneMask(Part const& low_part, Part const& high_part) : low(low_part), high(high_part) {}
    LaneMask(LaneMask const& other) : low(other.low), high(other.high) {}
    LaneMask& operator=(LaneMask const& other) {
        low = other.low;
        high = other.high;
        return *this;
    }
    [[nodiscard]] bool operator[](std::size_t lane) const {
        return (lane < 4 ? low[lane] : high[lane - 4]) != 0;
    }
    void set(std::size_t lane, bool value) {
        if (lane < 4)
            low[lane] = value ? -1 : 0;
        else
            high[lane - 4] = value ? -1 : 0;
    }

    Part low, high;
};

#define HOLDWATER_LANE_OPERATOR(result, op) \
    inline result operator op(Lanes const& a, Lanes const& b) { return {a.low op b.low, a.high op b.high}; }
HOLDWATER_LANE_OPERATOR(Lanes, +)
HOLDWATER_LANE_OPERATOR(Lanes, -)
HOLDWATER_LANE_OPERATOR(Lanes, *)
HOLDWATER_LANE_OPERATOR(Lanes, /)
HOLDWATER_LANE_OPERATOR(LaneMask, <)
HOLDWATER_LANE_OPERATOR(LaneMask, <=)
HOLDWATER_LANE_OPERATOR(LaneMask, >)
HOLDWATER_LANE_OPERATOR(LaneMask, >=)
HOLDWATER_LANE_OPERATOR(LaneMask, ==)
#undef HOLDWATER_LANE_OPERATOR

inline Lanes operator-(Lanes const& a) { return {-a.low, -a.high}; }
inline Lanes& operator+=(Lanes& a, Lanes const& b) { return a = a + b; }
inline Lanes& operator-=(Lanes& a, Lanes const& b) { return a = a - b; }

inline LaneMask operator&(LaneMask const& a, LaneMask const& b) { return {a.low & b.low, a.high & b.high}; }
inline LaneMask operator|(LaneMask const& a, LaneMask const& b) { return {a.low | b.low, a.high | b.high}; }
inline LaneMask operator!(LaneMask const& a) { return {~a.low, ~a.high}; }

/// `yes` in the lanes where the mask is true, otherwise `no`.
inline double pick(bool mask, double yes, double no) { return mask ? yes : no; }
inline Lanes pick(LaneMask const& mask, Lanes const& yes, Lanes const& no) {
    return {mask.low ? yes.low : no.low, mask.high ? yes.high : no.high};
}

inline bool any(bool mask) { return mask; }
inline bool any(LaneMask const& mask) {
    LaneMask::Part const p = mask.low | mask.high;
    return (p[0] | p[1] | p[2] | p[3]) != 0;
}
template <class Mask>
bool all(Mask const& mask) {
    return !any(!mask);
}

inline bool same_everywhere(double) { return true; }
inline bool same_everywhere(Lanes const& x) { return all(x == Lanes(x[0])); }
inline double first(double x) { return x; }
inline double first(Lanes const& x) { return x[0]; }

inline double least(double a, double b) { return b < a ? b : a; }
inline double most(double a, double b) { return a < b ? b : a; }
inline Lanes least(Lanes const& a, Lanes const& b) {
    return {b.low < a.low ? b.low : a.low, b.high < a.high ? b.high : a.high};
}
inline Lanes most(Lanes const& a, Lanes const& b) {
    return {a.low < b.low ? b.low : a.low, a.high < b.high ? b.high : a.high};
}

namespace detail {
template <class Function>
Lanes in_each(Lanes const& x, Function const& f) {
    Lanes r;
    for (std::size_t i = 0; i < Lanes::count; ++i) r.set(i, f(x[i]));
    return r;
}
}  // namespace detail

using std::exp, std::expm1, std::log1p;
// Rarely needed: one lane after the other.
inline Lanes exp(Lanes const& x) {
    return detail::in_each(x, [](double v) { return std::exp(v); });
}
inline Lanes expm1(Lanes const& x) {
    return detail::in_each(x, [](double v) { return std::expm1(v); });
}
inline Lanes log1p(Lanes const& x) {
    return detail::in_each(x, [](double v) { return std::log1p(v); });
}

}  // namespace holdwater::models
