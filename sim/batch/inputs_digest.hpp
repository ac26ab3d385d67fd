#pragma once

#include <vector>

#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// What the lanes need to know of a year's inputs, worked out once for all designs that share it.
struct InputsDigest {
    CheckedInputs const* inputs = nullptr;
    std::vector<double> summed_load_w{};  ///< of all classes, where there are several
    double const* load_w = nullptr;       ///< all small loads; one series where inputs have the same
    double available_kwh = 0, array_kwh = 0, load_kwh = 0;
    double least_load_w = 0;
    double peak_draw_m3_s = 0;
};
InputsDigest digest_of(CheckedInputs const& inputs, Clock const& clock);

/// Whether the small loads of one are those of the other.
bool same_loads(InputsDigest const& a, InputsDigest const& b);

}  // namespace holdwater::sim
