#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// The module and how many: either the array's rated power alone (a linear module), or [array.module] with
/// `modules_in_series` and `strings` beside it. A module's single-diode parameters are given or fitted to its
/// data sheet; a doubtful fit is a warning of the scenario.
void read_module(Section& array, Scenario& scenario);

}  // namespace holdwater::scenarios
