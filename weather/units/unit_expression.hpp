#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "weather/units/unit_names.hpp"

namespace holdwater::weather {

/// A unit text such as "gal/day", parsed.
struct UnitExpression {
    /// The unit is computed on a stack. A `name` step puts a unit to a power on it; `times` and `per` replace
    /// the last two units with their product or quotient.
    struct Step {
        enum class Kind { name, times, per } kind = Kind::name;
        std::string name = {};  ///< "gal" of "gal/day", "m" of "m3"; "1" of "1/K"
        int power = 1;
    };
    std::vector<Step> steps;
    std::string problem;  ///< what is wrong, in words; empty: it is a unit expression
};

/// A unit expression is one or more unit names, each with a whole exponent if it needs one ("m3", "m^2",
/// "m**2", "K-1", "m²"). The names are joined by a space, ".", "*", "·", "/" or " per ", and are evaluated
/// from left to right; brackets are allowed ("W/(m2.K)"). "1/" may come before the first name. Any other
/// number is refused, so a typing error never becomes a different quantity. Does not check whether the names
/// are known.
UnitExpression read_unit_expression(std::string_view text);

/// The unit, or empty if one of its names is not known.
std::optional<Unit> unit_of(UnitExpression const& expression, UnitWords words);

}  // namespace holdwater::weather
