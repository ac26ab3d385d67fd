#pragma once

#include <map>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

struct ut_system;
union cv_converter;

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
/// and after it comes a unit expression (weather/unit_expression.hpp) or nothing. Everything else throws
/// QuantityError, which describes the problem: a second number is never multiplied, added or ignored.
NumberAndUnit split_quantity(std::string_view text);

/// Reads quantity texts such as "40 psi", "86 gal", "1.5 hp", "10 gal/min" with UDUNITS-2.
///
/// In addition to the UDUNITS database it knows trade names: gal (US liquid gallon, exactly 231 in^3), gpm,
/// gpd, hp (550 ft lbf/s), Wh, Ah, VA, mph, deg. UDUNITS alone reads "gal" as an acceleration (cm/s^2) and
/// "mph" as milliphot, and it rounds gallon and hp to seven digits.
///
/// It remembers the units that it has read, which makes reading a design many times fast. For one thread
/// only.
class QuantityReader {
  public:
    /// Throws QuantityError if the UDUNITS database is not installed.
    QuantityReader();

    /// The number in `unit`. `text` is a number and a unit of the same dimension, see split_quantity. "%" is
    /// accepted only if `unit` is a bare number ("1") or a share itself ("%/K", "1/K").
    /// Throws QuantityError for a bare number, an unknown unit, another dimension, or anything else in the
    /// text.
    [[nodiscard]] double read(std::string_view text, std::string_view unit) const;

  private:
    struct Free {
        void operator()(ut_system* system) const;
        void operator()(cv_converter* converter) const;
    };
    using Converter = std::unique_ptr<cv_converter, Free>;
    [[nodiscard]] bool shares_fit(std::string const& name, std::string_view unit) const;
    cv_converter const& converter(std::string_view text, std::string const& from, std::string_view to) const;

    std::unique_ptr<ut_system, Free> system_;
    mutable std::map<std::pair<std::string, std::string>, Converter> known_;  // by unit as typed and target
};

}  // namespace holdwater::scenarios
