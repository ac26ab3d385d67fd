#include "weather/units/unit.hpp"

#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <limits>

namespace holdwater::weather {
namespace {

constexpr std::size_t radian = 7;

// A factor this near to 1 is 1, as in UDUNITS, whose units these are: a unit over itself has no rounding
// left.
Unit tidied(Unit unit) {
    constexpr double nearly = 10 * std::numeric_limits<double>::epsilon();
    if (std::abs(1 - unit.scale) < nearly && std::abs(unit.offset) < nearly) unit.scale = 1, unit.offset = 0;
    return unit;
}

// The unrounded sum of two doubles: a product keeps what its rounding leaves behind.
struct Pair {
    double high = 0, low = 0;
};

Pair times(Pair const& a, double b) {
    double const high = a.high * b;
    return {high, std::fma(a.high, b, -high) + a.low * b};
}

}  // namespace

double whole_power(double x, int power) {
    Pair all{1, 0};
    for (int i = std::abs(power); i > 0; --i) all = times(all, x);
    double const upright = all.high + all.low;
    if (!std::isfinite(upright) || upright == 0) return std::pow(x, power);  // beyond the largest double
    if (power >= 0) return upright;
    double const about = 1 / all.high;
    return about + about * (std::fma(-about, all.high, 1) - about * all.low);
}

Unit product(Unit const& a, Unit const& b) {
    Unit both{a.scale * b.scale, 0, a.powers};
    for (std::size_t i = 0; i < base_units; ++i)
        both.powers[i] = static_cast<std::int16_t>(both.powers[i] + b.powers[i]);
    return tidied(both);
}

Unit raised(Unit const& unit, int power) {
    Unit high{whole_power(unit.scale, power), 0, unit.powers};
    for (auto& p : high.powers) p = static_cast<std::int16_t>(p * power);
    return tidied(high);
}

Unit prefixed(double prefix, Unit const& unit) {
    if (prefix == 1) return unit;
    double const scale = prefix * unit.scale;
    return tidied({scale, unit.scale * unit.offset / scale, unit.powers});
}

bool is_bare(Unit const& unit) { return same_kind(unit, Unit{}); }

bool same_kind(Unit const& a, Unit const& b) {
    for (std::size_t i = 0; i < base_units; ++i)
        if (i != radian && a.powers[i] != b.powers[i]) return false;
    return true;
}

Conversion conversion(Unit const& from, Unit const& to) {
    double const back = 1 / to.scale;
    return {from.scale * back, back * (from.scale * from.offset) - to.offset};
}

}  // namespace holdwater::weather
