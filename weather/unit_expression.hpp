#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdwater::weather {

/// A unit as text, taken apart before UDUNITS gets it: UDUNITS multiplies by every number it meets
/// ("200 gal"), adds one behind "@", and takes logarithms, so that a typing error would be another quantity.
struct UnitExpression {
    std::vector<std::string> names;  ///< "gal", "day" of "gal/day"; "m" of "m3"; in the text's order
    std::string problem;             ///< what is wrong, in words; empty: it is a unit expression
};

/// A unit expression is one or more unit names, each with a whole exponent where one is needed ("m3", "m^2",
/// "K-1", "m²"), joined by a space, ".", "*", "·" or "/", in brackets where needed ("W/(m2.K)"); "1/" may
/// stand before the first name. Whether the names are known is not looked at.
UnitExpression read_unit_expression(std::string_view text);

}  // namespace holdwater::weather
