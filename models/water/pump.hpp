#pragma once

#include <span>
#include <vector>

#include "models/numeric/monotone_cubic.hpp"
#include "models/water/water_properties.hpp"

namespace holdwater::models {

/// One row of a maker's curve at rated speed. `power_w` is shaft power, or electrical input if the maker
/// gives that (see PumpParameters::power_is_input).
struct PumpCurvePoint {
    double flow_m3_s = 0, head_m = 0, power_w = 0;
};

/// Centrifugal well pump at rated frequency.
/// Equation: head and power are monotone cubics of the flow through the rows. Power is interpolated and not
/// efficiency, because power is finite at zero flow, where the efficiency is then 0. Requires: first row at
/// flow 0 (shut-off), rising flow, falling head, hydraulic power below `power_w` in every row. Beyond the
/// last row nothing is known: the flow is held at the last row and marked.
struct PumpParameters {
    std::vector<PumpCurvePoint> curve;
    bool power_is_input = false;
};

void validate(PumpParameters const& p);

/// The curves, ready for evaluation: build them once and evaluate them often.
struct PumpCurve {
    explicit PumpCurve(PumpParameters const& p);
    MonotoneCubic head_m;   // of flow, m3/s
    MonotoneCubic power_w;  // of flow
    bool power_is_input;
    double max_flow_m3_s;
    double shut_off_head_m;
};

}  // namespace holdwater::models
