#pragma once

#include <string>

namespace holdwater::tools {

/// "8 Dec" for a day of the year, 0 = 1 January; days after the end of the year continue in January.
std::string date_text(int day);

/// The same for JSON, as options take it: "12-08".
std::string month_and_day(int day);

}  // namespace holdwater::tools
