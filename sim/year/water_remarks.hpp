#pragma once

#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// What a designer should look at on the water side after a run.
enum class WaterRemarkKind {
    short_cycling,   ///< `count` runs shorter than the motor's least run of `limit` s, the shortest `value` s
    short_fillings,  ///< the same of a pump that fills a cistern and no pressure tank
    too_many_starts,     ///< up to `value` in 24 h, `limit` by the motor's size, exceeded in `count` hours
    start_heat,          ///< starts heat the motor `value` times as much as running all the time
    long_days,           ///< the pump runs up to `value` h a day, more than `limit`
    taps_above_pump,     ///< open taps take `value` m3/s, the pump gives `limit` at cut-in
    well_drawn_down,     ///< the dry-run protection stopped the pump `count` times
    short_runs_in_well,  ///< it ended `count` runs before the least run of `limit` s, the shortest after
                         ///< `value` s
    well_locked_out,     ///< it waits for someone on site
    water_spilled,       ///< `value` m3 over the cistern's rim
    use_short            ///< `value` of what the use `name` wanted was delivered, 0 .. 1
};

/// Figures as its kind says; what a kind does not name is 0.
struct WaterRemark {
    WaterRemarkKind kind{};
    double count = 0, value = 0, limit = 0;
    std::string name = {};
};

/// Empty if all is well. Limits: starts a day by motor size and shortest run from models/electric/motor.hpp;
/// more than 6 hours of pumping a day need a larger battery and array (common practice, no source).
std::vector<WaterRemark> water_remarks(System const& system, RunResult const& result);

}  // namespace holdwater::sim
