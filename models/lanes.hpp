#pragma once

#include <cmath>
#include <cstddef>

namespace holdwater::models {

/// Numbers side by side, one a scenario: what a formula templated on its number type is fed with instead of a
/// double when several scenarios are worked out at once. Arithmetic and comparisons act lane by lane; the
/// helpers below exist for doubles and lanes alike, so that a formula is written once.
///
/// Every operation is the IEEE one of a double, so a lane holds the same bits as the double would, however
/// wide the processor's registers are.
struct Lanes {
    static constexpr std::size_t count = 8;

    Lanes() = default;
    Lanes(double everywhere) {  // NOLINT: a constant in a formula is the same in every lane
        for (auto& p : part) p = Part{everywhere, everywhere, everywhere, everywhere};
    }
    [[nodiscard]] double operator[](std::size_t lane) const { return part[lane / 4][lane % 4]; }
    void set(std::size_t lane, double value) { part[lane / 4][lane % 4] = value; }

    using Part = double __attribute__((vector_size(32)));
    static constexpr std::size_t parts = count / 4;
    Part part[parts];
};

/// A yes or no a lane.
struct LaneMask {
    using Part = long long __attribute__((vector_size(32)));
    LaneMask() = default;
    explicit LaneMask(bool everywhere) {
        long long const bits = everywhere ? -1 : 0;
        for (auto& p : part) p = Part{bits, bits, bits, bits};
    }
    [[nodiscard]] bool operator[](std::size_t lane) const { return part[lane / 4][lane % 4] != 0; }
    void set(std::size_t lane, bool value) { part[lane / 4][lane % 4] = value ? -1 : 0; }
    Part part[Lanes::parts];
};

#define HOLDWATER_LANE_OPERATOR(result, op)                                                \
    inline result operator op(Lanes const& a, Lanes const& b) {                            \
        result r;                                                                          \
        for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = a.part[i] op b.part[i]; \
        return r;                                                                          \
    }
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

inline Lanes operator-(Lanes const& a) {
    Lanes r;
    for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = -a.part[i];
    return r;
}
inline Lanes& operator+=(Lanes& a, Lanes const& b) { return a = a + b; }
inline Lanes& operator-=(Lanes& a, Lanes const& b) { return a = a - b; }

inline LaneMask operator&(LaneMask const& a, LaneMask const& b) {
    LaneMask r;
    for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = a.part[i] & b.part[i];
    return r;
}
inline LaneMask operator|(LaneMask const& a, LaneMask const& b) {
    LaneMask r;
    for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = a.part[i] | b.part[i];
    return r;
}
inline LaneMask operator!(LaneMask const& a) {
    LaneMask r;
    for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = ~a.part[i];
    return r;
}

/// `yes` where the mask holds, else `no`.
inline double pick(bool mask, double yes, double no) { return mask ? yes : no; }
inline Lanes pick(LaneMask const& mask, Lanes const& yes, Lanes const& no) {
    Lanes r;
    for (std::size_t i = 0; i < Lanes::parts; ++i) r.part[i] = mask.part[i] ? yes.part[i] : no.part[i];
    return r;
}

inline bool any(bool mask) { return mask; }
inline bool any(LaneMask const& mask) {
    LaneMask::Part const p = mask.part[0] | mask.part[1];
    return (p[0] | p[1] | p[2] | p[3]) != 0;
}
template <class Mask>
bool all(Mask const& mask) {
    return !any(!mask);
}

template <class Real>
Real least(Real const& a, Real const& b) {
    return pick(b < a, b, a);
}
template <class Real>
Real most(Real const& a, Real const& b) {
    return pick(a < b, b, a);
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
// The rare way through a formula: one lane after the other.
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
