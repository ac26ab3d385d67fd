#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// An input with a provenance. If it is only assumed, `check` tries its range.
struct AssumedInput {
    std::string_view key, unit;
    double low = 0, high = 0;  ///< accepted range
    void (*set)(Scenario& scenario, double value) = nullptr;
    double (*get)(Scenario const& scenario) = nullptr;
};

std::span<AssumedInput const> assumed_inputs();

/// Null if no input has this key.
AssumedInput const* find_assumed_input(std::string_view key);

/// Whether the text of the scenario, with the values of its parts, has a value for a dotted key.
bool gives(Scenario const& scenario, std::string_view key);

/// Where the inputs come from by the scenario, with one line for each: "motor.locked_rotor: 41.8 A
/// (nameplate)", "inverter.idle: 45 W (assumed, 20 W to 60 W)". Empty if the scenario does not say.
std::vector<std::string> provenance_lines(Scenario const& scenario);
/// The same, but only for inputs of a year's run: not for cables, the settings of `check`, and prices.
std::vector<std::string> provenance_lines_of_run(Scenario const& scenario);

}  // namespace holdwater::scenarios
