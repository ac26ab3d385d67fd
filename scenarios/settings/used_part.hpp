#pragma once

#include <optional>
#include <string>

namespace holdwater::scenarios {

/// A part a design is made with.
struct UsedPart {
    std::string section;  ///< "bank", "pipe.2"
    std::string kind, name, about, list;
    std::optional<double> price;  ///< of one, or of a metre
    double count = 1;             ///< so many, or metres
    std::string currency;
};

}  // namespace holdwater::scenarios
