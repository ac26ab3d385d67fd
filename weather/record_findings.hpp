#pragma once

#include "weather/recorded_years.hpp"

namespace holdwater::weather {

/// Adds to the findings what was done to the numbers of the years (leap days, gaps filled, readings of the
/// second file, other repairs); equal texts are listed once with their years. Also adds where the chains of
/// years break.
void add_record_findings(RecordedYears& record);

}  // namespace holdwater::weather
