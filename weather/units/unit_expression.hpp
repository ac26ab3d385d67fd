#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "weather/units/unit_names.hpp"

namespace holdwater::weather {

/// A unit as text, taken apart.
struct UnitExpression {
    /// One step of working the unit out on a stack: a name to a power is pushed; a product or quotient takes
    /// the place of the two that were pushed last.
    struct Step {
        enum class Kind { name, times, per } kind = Kind::name;
        std::string name = {};  ///< "gal" of "gal/day", "m" of "m3"; "1" of "1/K"
        int power = 1;
    };
    std::vector<Step> steps;
    std::string problem;  ///< what is wrong, in words; empty: it is a unit expression
};

/// A unit expression is one or more unit names, each with a whole exponent where one is needed ("m3", "m^2",
/// "m**2", "K-1", "m²"), joined by a space, ".", "*", "·", "/" or " per ", from left to right, in brackets
/// where needed
/// ("W/(m2.K)"); "1/" may stand before the first name. A number anywhere else is refused, so that a typing
/// error is never another quantity. Whether the names are known is not looked at.
UnitExpression read_unit_expression(std::string_view text);

/// The unit; nothing: a name in it is not known.
std::optional<Unit> unit_of(UnitExpression const& expression, UnitWords words);

}  // namespace holdwater::weather
