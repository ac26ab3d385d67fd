#pragma once

#include <string>

namespace holdwater::tools {

/// "8 Dec" for a day of the year, 0 = 1 January; days after the end of the year continue in January.
std::string date_text(int day);

/// "8 Dec 06:00" for an hour of the year, rounded to the minute; hours after the end of the year continue in
/// January.
std::string stamp_text(double hour);
/// The same for the end of a time: a whole day ends at 24:00.
std::string end_stamp_text(double hour);

/// The day for JSON, as options take it: "12-08".
std::string month_and_day(int day);

}  // namespace holdwater::tools
