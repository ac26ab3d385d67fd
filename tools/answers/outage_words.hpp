#pragma once

#include <functional>
#include <string>
#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::tools {

/// "84 h", "2.5 h".
std::string outage_length_text(double hours);

/// The outages of a run in which water was short, the one with most water short first: "01-14 06:00 for 84 h:
/// 212 gal short in 19 h, the first at 01-16 04:00, lowest SOC 10 %".
std::vector<std::string> failed_outages(std::vector<sim::OutageRecord> const& outages,
                                        std::function<std::string(double)> const& volume_text);

/// How many outages there were, how long they were, and in how many of them water was short, in one sentence.
std::string outages_in_a_sentence(std::vector<sim::OutageRecord> const& outages);

}  // namespace holdwater::tools
