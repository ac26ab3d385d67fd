#pragma once

#include <optional>
#include <vector>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The inputs of the least_*_factor functions: the design, whether its backup is available, and how the
/// period begins. What is stored at the start is what the typical year of the changed design has.
struct CloudyPeriodQuestion {
    System const& design;
    bool with_backup = true;
    CloudyPeriodInputs const& inputs;
    std::vector<int> const& first_days;
    NamedLevels named{};
};

/// The largest size that is tried, as a multiple of the present one.
inline constexpr double largest_factor = 64;

/// Smallest factor on battery, array or cistern with which no start date is short of water in the period, to
/// 0.5 %; nothing if even largest_factor is not enough. Found by bisection over the few start dates that
/// decide, and then run from all of them: if a larger battery is worse in some range because of its restart
/// level, the result is one boundary, not always the smallest. A cistern level that was given stays the same
/// share of the usable volume.
std::optional<double> least_battery_factor(CloudyPeriodQuestion const& question);
std::optional<double> least_array_factor(CloudyPeriodQuestion const& question);
std::optional<double> least_cistern_factor(CloudyPeriodQuestion const& question);

}  // namespace holdwater::sim
