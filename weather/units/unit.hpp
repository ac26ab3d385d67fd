#pragma once

#include <array>
#include <cstdint>

namespace holdwater::weather {

/// Base quantities of a unit, in this order: meter, kilogram, second, ampere, kelvin, mole, candela, radian.
inline constexpr std::size_t base_units = 8;

/// A unit as a multiple of a product of base units. In base units, x of it is scale * (x + offset).
struct Unit {
    double scale = 1, offset = 0;
    std::array<std::int16_t, base_units> powers{};  ///< of the base units; all 0: a bare number
};

/// Of units that are multiplied or raised the offset is lost: 1/degC is 1/K.
Unit product(Unit const& a, Unit const& b);
Unit raised(Unit const& unit, int power);
/// The unit with a prefix: 1000 of it is 1 "k" of it.
Unit prefixed(double prefix, Unit const& unit);

/// Whether a quantity is a number without a dimension; an angle is.
bool is_bare(Unit const& unit);
/// Whether two units are of the same kind of quantity. An angle counts as a number: 1 rad/s is 1/s.
bool same_kind(Unit const& a, Unit const& b);

/// From a unit to another one of the same kind.
struct Conversion {
    double factor = 1, offset = 0;
    [[nodiscard]] double operator()(double value) const {
        return offset == 0 ? factor * value : factor * value + offset;
    }
};
Conversion conversion(Unit const& from, Unit const& to);

/// x to a whole power, rounded once, so that it has the same bits on every processor and in a browser; the C
/// library's pow is off by the last bit about once in 1200 numbers, and not for the same ones everywhere.
double whole_power(double x, int power);

}  // namespace holdwater::weather
