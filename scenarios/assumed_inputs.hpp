#pragma once

#include <span>
#include <string_view>

#include "scenarios/scenario.hpp"

namespace holdwater::scenarios {

/// An input whose provenance can be stated and whose range, when it is only assumed, is tried by preflight.
struct AssumedInput {
    std::string_view key, unit;
    double low, high;  ///< accepted
    void (*set)(Scenario& scenario, double value);
    double (*get)(Scenario const& scenario);
};

std::span<AssumedInput const> assumed_inputs();

/// Null when there is none of that key.
AssumedInput const* find_assumed_input(std::string_view key);

}  // namespace holdwater::scenarios
