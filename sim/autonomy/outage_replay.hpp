#pragma once

#include <vector>

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Outages of a length that begin at a time of day.
struct OutageToTry {
    double hours = 0, begins_h = 0;  ///< > 0, at most 60 days; 0 .. < 24
};

/// Those of a design, listed or drawn, each with its own length and time of day. Without any: 2, 8, 24, 84
/// and 168 h at 00:00, 06:00, 12:00 and 18:00 (about two hours is a usual outage, eight a bad year's mean,
/// three and a half days a storm an owner tells of: from public statistics and an owner's log, from memory).
std::vector<OutageToTry> outages_to_try(models::OutageList const& outages);

/// All outages of one length, each on every start date. Different lengths are never put into one figure.
struct OutageLength {
    double hours = 0;
    double listed = 0;          ///< outages to try with this length
    double tried = 0;           ///< each of them on each start date
    double kept = 0;            ///< of those, in which all the water wanted came
    double worst_gap_h = 0;     ///< longest shortage of any (see Summary::longest_shortage_h)
    double worst_short_m3 = 0;  ///< water wanted that did not come in that one, the most of equal shortages
    double worst_start_h = 0;   ///< when that one began; hours since 00:00 on 1 January
    double worst_first_short_h = 0;  ///< the first hour short of water in it, likewise
};

/// Every outage on every start date, by length: the lengths that keep the least share of their start dates
/// first, of equal ones the longest shortage, then the longest outage. The grid is there until it fails, and
/// battery, pressure tank, cistern, trough and well stand where a year with the grid always there has them
/// at that hour. Only a design with the grid as backup has outages: others give none.
std::vector<OutageLength> replay_outages(System const& system, HourlyInputs const& inputs,
                                         std::vector<OutageToTry> const& outages,
                                         std::vector<int> const& first_days);

}  // namespace holdwater::sim
