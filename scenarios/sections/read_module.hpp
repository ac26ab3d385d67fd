#pragma once

#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"

namespace holdwater::scenarios {

/// Reads the module and the number of modules: either only the rated power of the array (a linear module), or
/// [array.module] with `modules_in_series` and `strings`. The single-diode parameters of a module are given
/// or fitted to its data sheet; for a doubtful fit the scenario gets a warning.
void read_module(Section& array, Scenario& scenario);

}  // namespace holdwater::scenarios
