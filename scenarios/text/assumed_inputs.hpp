#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// An input whose provenance can be stated and whose range, when it is only assumed, is tried by check.
struct AssumedInput {
    std::string_view key, unit;
    double low = 0, high = 0;  ///< accepted
    void (*set)(Scenario& scenario, double value) = nullptr;
    double (*get)(Scenario const& scenario) = nullptr;
};

std::span<AssumedInput const> assumed_inputs();

/// Null when there is none of that key.
AssumedInput const* find_assumed_input(std::string_view key);

/// Whether the scenario's text has a value for a dotted key, its parts' values among them.
bool gives(Scenario const& scenario, std::string_view key);

/// What the scenario says of where its inputs come from, one line an input: "motor.locked_rotor: 41.8 A
/// (nameplate)", "inverter.idle: 45 W (assumed, 20 W to 60 W)". Empty when it says nothing.
std::vector<std::string> provenance_lines(Scenario const& scenario);
/// The same, but only of what a year's run rests on: not of cables, check's own settings and prices.
std::vector<std::string> provenance_lines_of_run(Scenario const& scenario);

}  // namespace holdwater::scenarios
