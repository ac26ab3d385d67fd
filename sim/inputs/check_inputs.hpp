#pragma once

#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Throws models::ParameterError when a series of the inputs is not a year long, not finite or negative.
void check_inputs(HourlyInputs const& inputs);

}  // namespace holdwater::sim
