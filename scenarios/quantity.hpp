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

/// A quantity text that cannot be read: the message says what was wrong and what is accepted, without
/// file and line (the reader of the file adds them).
class QuantityError : public std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Reads quantity texts such as "40 psi", "86 gal", "1.5 hp", "10 gal/min" with UDUNITS-2.
///
/// Beside the UDUNITS database it knows the trade's names: gal (US liquid gallon, exactly 231 in^3), gpm,
/// gpd, hp (550 ft lbf/s), Wh, Ah, VA, mph, deg. UDUNITS alone reads "gal" as an acceleration (cm/s^2), "mph"
/// as milliphot, and rounds gallon and hp to seven digits.
///
/// Units it has met it knows again, which is what reading a design many times mostly is. For one thread.
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
        void operator()(cv_converter* converter) const;
    };
    using Converter = std::unique_ptr<cv_converter, Free>;
    cv_converter const& converter(std::string_view text, std::string const& from, std::string_view to) const;

    std::unique_ptr<ut_system, Free> system_;
    mutable std::map<std::pair<std::string, std::string>, Converter> known_;  // by unit as typed and wanted
};

}  // namespace holdwater::scenarios
