#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>

struct ut_system;

namespace holdwater::scenarios {

/// A quantity text that cannot be read: the message says what was wrong and what is accepted, without
/// file and line (the reader of the file adds them).
class QuantityError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Reads quantity texts such as "40 psi", "86 gal", "1.5 hp", "10 gal/min" with UDUNITS-2.
///
/// Beside the UDUNITS database it knows the trade's names: gal (US liquid gallon, exactly 231 in^3), gpm,
/// hp (550 ft lbf/s), Wh, Ah, VA, mph, deg. UDUNITS alone reads "gal" as an acceleration (cm/s^2), "mph"
/// as milliphot, and rounds gallon and hp to seven digits.
class QuantityReader {
  public:
    /// Throws QuantityError when the UDUNITS database is not installed.
    QuantityReader();

    /// The number in `unit`. `text` is a finite number, white space, a unit of the same dimension.
    /// Throws QuantityError for a bare number, an unknown unit, another dimension, text after the unit.
    [[nodiscard]] double read(std::string_view text, std::string_view unit) const;

  private:
    struct Free {
        void operator()(ut_system* system) const;
    };
    std::unique_ptr<ut_system, Free> system_;
};

}  // namespace holdwater::scenarios
