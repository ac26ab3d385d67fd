#pragma once

#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::sim {

/// A run of hours in which some of the water demand was not delivered. Hours without demand do not end it.
/// The longest one is Summary::longest_shortage_h.
struct Shortage {
    int first_hour = 0;      ///< counted from the beginning of the first year
    double hours = 0;        ///< from the first hour short of water to the last, both included
    double short_hours = 0;  ///< those of them that are short of water
    double water_short_m3 = 0;
    LimitReason reason = LimitReason::none;  ///< for the largest part of the water
};

/// Sum of the hours short of water for one reason.
struct ShortageCause {
    LimitReason reason = LimitReason::none;
    double hours = 0, water_short_m3 = 0;
};

/// In order of time. Their short_hours add up to Summary::shortage_hours, and their water to water_short_m3
/// (except for hours that are short by less than some_water_m3).
std::vector<Shortage> shortages(RunResult const& result);
/// The reason with the most water first.
std::vector<ShortageCause> shortage_causes(RunResult const& result);

/// Sum of the hours in which small loads were not fully served, for one reason.
struct LoadCause {
    LimitReason reason = LimitReason::none;
    double hours = 0, unserved_kwh = 0;
    int first_hour = 0;  ///< the first of these hours, counted from the beginning of the first year
};
/// The reason with the most energy first. Their energies add up to Summary::load_unserved_kwh (except for
/// hours that are short by less than a thousandth of a watt-hour).
std::vector<LoadCause> load_causes(RunResult const& result);

}  // namespace holdwater::sim
