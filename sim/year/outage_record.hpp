#pragma once

#include <string_view>
#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::sim {

/// What each outage of the grid cost within a run, in order of time. Its hours are those it touches; a
/// shortage that begins in it counts to it until it ends. Outages before or after the clock's hours are left
/// out.
std::vector<OutageRecord> outage_records(models::OutageList const& outages, Clock const& clock,
                                         std::vector<HourRecord> const& hours);

struct OutageField {
    std::string_view name, unit, long_name;
    double OutageRecord::*value = nullptr;
};
std::vector<OutageField> const& outage_fields();

}  // namespace holdwater::sim
