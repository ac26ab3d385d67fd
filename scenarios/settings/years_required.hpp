#pragma once

#include <cstdint>
#include <limits>

namespace holdwater::scenarios {

/// The table [required]: what a design must do over many years.
struct YearsRequired {
    double years_without_shortage = 0.95;  ///< share of the years, above 0 .. 1
    /// A year holds if it has at most this many hours short of water [h].
    double hours_short_allowed = 0;
    /// Longest shortage allowed in any year.
    double longest_shortage_limit_h = std::numeric_limits<double>::infinity();
    bool judge_new = false;  ///< judged with the battery as it is now, not at the end of its life
};

/// The years on which a verdict is based.
struct YearsSettings {
    int made = 50;           ///< made years, 0 .. 10000
    std::uint64_t seed = 1;  ///< of weather, outages, demand and generator failures
    /// Capacity of the battery at the end of its life over that of now; 0.8 is common practice, no source.
    double battery_end_of_life = 0.8;
    YearsRequired required;
};

}  // namespace holdwater::scenarios
