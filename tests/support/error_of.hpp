#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/scenario_error.hpp"

namespace holdwater::test {

/// What the reader says of a scenario that it refuses; "" if it is read.
inline std::string error_of(std::string const& text) {
    try {
        (void)scenarios::read_scenario_text(text, "test.toml");
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    }
    return "";
}

}  // namespace holdwater::test
