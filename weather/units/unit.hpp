#pragma once

#include <array>
#include <cstdint>

namespace holdwater::weather {

/// Base quantities of a unit, in this order: meter, kilogram, second, ampere, kelvin, mole, candela, radian.
inline constexpr std::size_t base_units = 8;

/// A unit: a factor times a product of base units. A value x in this unit is scale * (x + offset) in base
/// units.
struct Unit {
    double scale = 1, offset = 0;
    std::array<std::int16_t, base_units> powers{};  ///< of the base units; all 0: a bare number
};

/// A product or power has no offset: 1/degC is 1/K.
Unit product(Unit const& a, Unit const& b);
Unit raised(Unit const& unit, int power);
/// The unit with a prefix, whose factor is `prefix`: 1000 for "k".
Unit prefixed(double prefix, Unit const& unit);

/// Whether the unit has no dimension. Angles have none.
bool is_bare(Unit const& unit);
/// Whether two units have the same dimension. Angles have none, so rad/s has the dimension of 1/s.
bool same_kind(Unit const& a, Unit const& b);

/// From a unit to another one of the same kind.
struct Conversion {
    double factor = 1, offset = 0;
    [[nodiscard]] double operator()(double value) const {
        return offset == 0 ? factor * value : factor * value + offset;
    }
};
Conversion conversion(Unit const& from, Unit const& to);

/// x to a whole power, rounded correctly, so it has the same bits on every processor and in a browser. The C
/// library's pow is wrong in the last bit for about one number in 1200, and not for the same numbers
/// everywhere.
double whole_power(double x, int power);

}  // namespace holdwater::weather
