#pragma once

#include <vector>

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Outages of a length that begin at a time of day.
struct OutageToTry {
    double hours = 0, begins_h = 0;  ///< > 0, at most 60 days; 0 .. < 24
};

/// The outages of a design, listed or random, each with its own length and time of day. If it has none: 2, 8,
/// 24, 84 and 168 h at 00:00, 06:00, 12:00 and 18:00. (About two hours is a usual outage, eight hours the
/// mean of a bad year, three and a half days a storm that an owner reported: from public statistics and an
/// owner's log, from memory.)
std::vector<OutageToTry> outages_to_try(models::OutageList const& outages);

/// All outages of one length, each moved to every start date. Outages of different lengths are never
/// averaged.
struct OutageLength {
    double hours = 0;
    double listed = 0;       ///< number of outages of this length
    double tried = 0;        ///< number of runs: each of them on each start date
    double kept = 0;         ///< runs in which all of the demand was delivered
    double worst_gap_h = 0;  ///< longest shortage in any run (see Summary::longest_shortage_h)
    /// Demand not delivered in that run; of equally long shortages the one with most water short.
    double worst_short_m3 = 0;
    double worst_start_h = 0;        ///< start of that run; hours since 00:00 on 1 January
    double worst_first_short_h = 0;  ///< the first hour short of water in it, in the same way
};

/// Runs every outage on every start date and returns the lengths, the worst first: fewest start dates without
/// a shortage, then the longest shortage, then the longest outage. The grid is available until it fails.
/// Battery, pressure tank, cistern, trough and well begin with what they hold at that hour in a year without
/// outages; if it is known before, at the beginning of that time (at the earliest on 1 January). Only a
/// design with the grid as backup has outages; for other designs the result is empty.
std::vector<OutageLength> replay_outages(System const& system, HourlyInputs const& inputs,
                                         std::vector<OutageToTry> const& outages,
                                         std::vector<int> const& first_days);

}  // namespace holdwater::sim
