#pragma once

#include <vector>

#include "sim/inputs/checked_inputs.hpp"

namespace holdwater::sim {

/// Figures of a year's inputs that the lanes need, computed once for all designs that share the inputs.
struct InputsDigest {
    CheckedInputs const* inputs = nullptr;
    std::vector<double> summed_load_w{};  ///< sum of all classes, if there are several
    double const* load_w = nullptr;       ///< all small loads; one series for all inputs with the same loads
    double available_kwh = 0, array_kwh = 0, load_kwh = 0;
    double least_load_w = 0;
    double peak_draw_m3_s = 0;  ///< for findings only
};
InputsDigest digest_of(CheckedInputs const& inputs, Clock const& clock, bool findings);

/// Whether the two have the same small loads.
bool same_loads(InputsDigest const& a, InputsDigest const& b);

}  // namespace holdwater::sim
