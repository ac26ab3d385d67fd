#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdwater::weather {

/// A unit as text, checked before UDUNITS reads it. UDUNITS multiplies by every number in it ("200 gal"),
/// adds a number after "@", and takes logarithms, so a typing error would silently become another quantity.
struct UnitExpression {
    std::vector<std::string> names;  ///< "gal", "day" of "gal/day"; "m" of "m3"; in the order of the text
    std::string problem;             ///< what is wrong, in words; empty: it is a unit expression
};

/// A unit expression is one or more unit names, each with a whole exponent if needed ("m3", "m^2", "K-1",
/// "m²"), joined by a space, ".", "*", "·" or "/", in parentheses if needed ("W/(m2.K)"). "1/" is allowed
/// before the first name. The names themselves are not checked.
UnitExpression read_unit_expression(std::string_view text);

}  // namespace holdwater::weather
