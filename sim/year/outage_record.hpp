#pragma once

#include <string_view>
#include <vector>

#include "sim/base/run_result.hpp"

namespace holdwater::sim {

/// Shortages due to each outage of the grid in a run, in order of time. The hours of an outage are those in
/// which it lasts for any time. A shortage that begins in an outage counts for it to its end. Outages outside
/// the hours of the clock are left out.
std::vector<OutageRecord> outage_records(models::OutageList const& outages, Clock const& clock,
                                         std::vector<HourRecord> const& hours);

struct OutageField {
    std::string_view name, unit, long_name;
    double OutageRecord::*value = nullptr;
};
std::vector<OutageField> const& outage_fields();

}  // namespace holdwater::sim
