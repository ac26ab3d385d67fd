#pragma once

#include <string_view>

#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads a key with a date as "MM-DD", such as "03-21": day of the 365-day year, 0 = 1 January.
int calendar_day(Section& s, std::string_view key);

}  // namespace holdwater::scenarios
