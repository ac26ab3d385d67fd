#pragma once

#include <vector>

#include "sim/system.hpp"

namespace holdwater::sim {

/// Outages of a length that begin at a time of day.
struct OutageToTry {
    double hours = 0, begins_h = 0;  ///< > 0, at most 60 days; 0 .. < 24
};

/// Those of a design, listed or drawn, each with its own length and time of day. Without any: 2, 8, 24, 84
/// and 168 h at 00:00, 06:00, 12:00 and 18:00 (about two hours is a usual outage, eight a bad year's mean,
/// three and a half days a storm an owner tells of: from public statistics and an owner's log, from memory).
std::vector<OutageToTry> outages_to_try(models::OutageList const& outages);

struct OutageReplay {
    double outages = 0;       ///< tried: each outage on each start day
    double kept = 0;          ///< of them, those in which all the water wanted came
    double dry_hours = 0;     ///< in all of them
    double worst_gap_h = 0;   ///< longest dry time of any (see Summary::longest_dry_h)
    OutageToTry worst;        ///< the outage with that gap, the longest of equals
    int worst_first_day = 0;  ///< 0 = 1 January
};

/// Every outage on every start day. The grid is there until it begins, and the bank stands where a year with
/// the grid always there has it at that hour; the pressure tank begins at cut-out, cistern and trough as
/// the scenario says. Only a design with the grid as backup has outages: others give all zeros.
OutageReplay replay_outages(System const& system, HourlyInputs const& inputs,
                            std::vector<OutageToTry> const& outages, std::vector<int> const& first_days);

}  // namespace holdwater::sim
