#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace holdwater::scenarios {

/// A quantity text that cannot be read. The message says what was wrong and what is accepted; the reader of
/// the file adds file and line.
class QuantityError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// The number and the unit of a quantity text.
struct NumberAndUnit {
    double number = 0;
    std::string unit;  ///< "gal/day"; empty if there is none
};

/// Splits a text such as "10 gal/day". The number is one of
///   1200   1.5   .5   1e3   -5        with a decimal point, without or with an exponent
///   1,200   82,125.5                  with commas between thousands
///   3/4   1 1/2   1-1/2               a fraction, a whole number and a fraction (of up to three digits each)
/// and after it comes a unit expression (weather/units/unit_expression.hpp) or nothing. Everything else
/// throws QuantityError, which describes the problem: a second number is never multiplied, added or ignored.
NumberAndUnit split_quantity(std::string_view text);

/// The number of a quantity text such as "40 psi", "86 gal", "1.5 hp" or "10 gal/min" in `unit`, for example
/// "kPa". `text` is a number and a unit of the same dimension, see split_quantity. Unit names are those of
/// the trade, see UnitWords in weather/units/unit_names.hpp. "%" is accepted only if `unit` is a bare number
/// ("1") or a share itself
/// ("%/K", "1/K").
/// Throws QuantityError for a bare number, an unknown unit, another dimension, or anything else in the text.
double read_quantity(std::string_view text, std::string_view unit);

}  // namespace holdwater::scenarios
