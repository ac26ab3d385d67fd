#pragma once

#include <cmath>
#include <ostream>
#include <vector>

namespace holdwater::test {

/// A comparison that was made, for the page of checks (see main.cpp).
struct NearRecord {
    double found, expected, tolerance;
};
/// Where comparisons are stored; null: nowhere.
inline std::vector<NearRecord>* near_records = nullptr;

/// Matches when |a - b| <= abs + rel |b|. Both must be stated at the call; NaN never matches.
struct Near {
    double expected, abs, rel;
    friend bool operator==(double a, Near const& n) {
        double const tolerance = n.abs + n.rel * std::abs(n.expected);
        if (near_records != nullptr) near_records->push_back({a, n.expected, tolerance});
        return std::abs(a - n.expected) <= tolerance;
    }
    friend std::ostream& operator<<(std::ostream& o, Near const& n) {
        return o << n.expected << " +/- " << n.abs << " abs, " << n.rel << " rel";
    }
};

}  // namespace holdwater::test
