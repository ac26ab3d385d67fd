#pragma once

#include <span>
#include <vector>

#include "models/numeric/monotone_cubic.hpp"
#include "models/water/water_properties.hpp"

namespace holdwater::models {

/// One row of a maker's curve at rated speed. `power_w` is shaft power, or electrical input when the maker
/// gives that (see PumpParameters::power_is_input).
struct PumpCurvePoint {
    double flow_m3_s = 0, head_m = 0, power_w = 0;
};

/// Centrifugal well pump at rated frequency.
/// Equation: head and power each a monotone cubic of flow through the rows. Power, not efficiency, is
/// interpolated: it stays finite at zero flow and efficiency then falls to 0 there by itself. Needs: first
/// row at flow 0 (shut-off), flow rising, head falling, hydraulic power below `power_w` in every row. Beyond
/// the last row nothing is known: flow is held at the last row and flagged.
struct PumpParameters {
    std::vector<PumpCurvePoint> curve;
    bool power_is_input = false;
};

void validate(PumpParameters const& p);

/// Row from an efficiency instead of a power; not for flow 0, where power must be given.
PumpCurvePoint point_from_efficiency(double flow_m3_s, double head_m, double efficiency, Water const& water);

/// `stages` equal stages in series: head and power multiply.
PumpParameters stack_stages(std::span<PumpCurvePoint const> stage, double stages);

/// The curves ready for evaluation; build once, evaluate often.
struct PumpCurve {
    explicit PumpCurve(PumpParameters const& p);
    MonotoneCubic head_m;   // of flow, m3/s
    MonotoneCubic power_w;  // of flow
    bool power_is_input;
    double max_flow_m3_s;
    double shut_off_head_m;
};

}  // namespace holdwater::models
