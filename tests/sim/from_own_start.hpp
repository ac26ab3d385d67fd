#pragma once

#include <optional>
#include <vector>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/least_size.hpp"

namespace holdwater::test {

/// Every hour of the year begins with the start values of the system itself.
inline std::vector<sim::StoreLevels> own_levels(sim::System const& s) {
    return std::vector<sim::StoreLevels>(
        sim::hours_per_year,
        {s.start_soc, s.cistern ? s.cistern->start_m3 : 0, s.trough ? s.trough->full_m3 : 0});
}

inline sim::CloudyPeriodOutcome run_cloudy_periods(sim::System const& s, sim::CloudyPeriodInputs const& in,
                                                   std::vector<int> const& first_days,
                                                   sim::FollowUntil until = sim::FollowUntil::full_again) {
    return sim::run_cloudy_periods(s, in, first_days, own_levels(s), until);
}

inline std::optional<double> least_battery_factor(sim::System const& s, sim::CloudyPeriodInputs const& in,
                                                  std::vector<int> const& first_days) {
    return sim::least_battery_factor({s, true, in, first_days, {.soc = s.start_soc}});
}
inline std::optional<double> least_array_factor(sim::System const& s, sim::CloudyPeriodInputs const& in,
                                                std::vector<int> const& first_days) {
    return sim::least_array_factor({s, true, in, first_days, {.soc = s.start_soc}});
}

}  // namespace holdwater::test
