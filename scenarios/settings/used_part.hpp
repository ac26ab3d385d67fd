#pragma once

#include <optional>
#include <string>

namespace holdwater::scenarios {

/// A part a design is made with.
struct UsedPart {
    std::string section;  ///< "battery", "pipe.2"
    std::string kind, name, about, list;
    std::optional<double> price;  ///< of one, or of a meter
    double count = 1;             ///< so many, or meters
    std::string currency;
};

}  // namespace holdwater::scenarios
