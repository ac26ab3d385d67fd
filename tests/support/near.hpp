#pragma once

#include <cmath>
#include <ostream>

namespace holdwater::test {

/// Matches when |a - b| <= abs + rel |b|. Both must be stated at the call; NaN never matches.
struct Near {
    double expected, abs, rel;
    friend bool operator==(double a, Near const& n) {
        return std::abs(a - n.expected) <= n.abs + n.rel * std::abs(n.expected);
    }
    friend std::ostream& operator<<(std::ostream& o, Near const& n) {
        return o << n.expected << " +/- " << n.abs << " abs, " << n.rel << " rel";
    }
};

}  // namespace holdwater::test
