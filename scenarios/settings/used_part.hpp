#pragma once

#include <optional>
#include <string>

namespace holdwater::scenarios {

/// A part that a design uses.
struct UsedPart {
    std::string section;  ///< "battery", "pipe.2"
    std::string kind, name, about, list;
    std::optional<double> price;  ///< of one, or of a meter
    double count = 1;             ///< number of parts, or meters
    std::string currency;
};

}  // namespace holdwater::scenarios
