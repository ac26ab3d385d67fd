#pragma once

#include <string>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// What a designer should know about the water side after a run.
enum class WaterRemarkKind {
    /// `count` runs were shorter than the motor's shortest run of `limit` s; the shortest was `value` s.
    short_cycling,
    short_fillings,   ///< the same for a pump that fills a cistern without a pressure tank
    too_many_starts,  ///< up to `value` in 24 h, `limit` by the motor's size, exceeded in `count` hours
    start_heat,       ///< starts heat the motor `value` times as much as continuous running
    long_days,        ///< the pump runs up to `value` h a day, more than `limit`
    taps_above_pump,  ///< open taps draw `value` m3/s, the pump gives `limit` at cut-in
    well_drawn_down,  ///< the dry-run protection stopped the pump `count` times
    /// It ended `count` runs before the shortest run of `limit` s, the shortest after `value` s.
    short_runs_in_well,
    well_locked_out,  ///< it waits for someone on site
    water_spilled,    ///< `value` m3 overflowed the cistern
    low_pressure,     ///< the low-pressure cutoff stopped the pump `count` times
    /// With a control that resets itself there would be `value` hours short of water instead of `limit`.
    self_reset,
    /// The place `name` froze for `count` hours, for the first time at `value` h since 00:00 on 1 January,
    /// down to `limit` deg C, because its heater had no power.
    frozen_unpowered,
    frozen_too_weak,  ///< the same, because its heater is too weak
    use_short         ///< this share of the demand of the use `name` was delivered, 0 .. 1
};

/// Figures; the kind says what they mean. Those that a kind does not name are 0.
struct WaterRemark {
    WaterRemarkKind kind{};
    double count = 0, value = 0, limit = 0;
    std::string name = {};
};

/// Empty if there is nothing to remark. Limits: starts a day by motor size and shortest run from
/// models/electric/motor.hpp; more than 6 hours of pumping a day need a larger battery and array (common
/// practice, no source).
std::vector<WaterRemark> water_remarks(System const& system, RunResult const& result);
/// With the inputs of this run: the same, and what a pressure switch that resets itself would save, from a
/// second run, if one that waits for someone stopped the pump.
std::vector<WaterRemark> water_remarks(System const& system, CheckedInputs const& inputs,
                                       RunResult const& result);

}  // namespace holdwater::sim
