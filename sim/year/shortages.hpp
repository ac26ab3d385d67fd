#pragma once

#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::sim {

/// Hours on end in which some of the demand for water was not delivered; hours without demand between two do
/// not end it. The longest one is Summary::longest_shortage_h.
struct Shortage {
    int first_hour = 0;      ///< counted from the beginning of the first year
    double hours = 0;        ///< from the first hour short of water to the last, that one included
    double short_hours = 0;  ///< of those, the hours short of water
    double water_short_m3 = 0;
    LimitReason reason = LimitReason::none;  ///< of the largest part of the water
};

/// What the hours short of water of one reason add up to.
struct ShortageCause {
    LimitReason reason = LimitReason::none;
    double hours = 0, water_short_m3 = 0;
};

/// In order of time. Their short_hours add up to Summary::shortage_hours, their water to water_short_m3 (but
/// for hours that are short by less than some_water_m3).
std::vector<Shortage> shortages(RunResult const& result);
/// Most water first.
std::vector<ShortageCause> shortage_causes(RunResult const& result);

}  // namespace holdwater::sim
