#pragma once

#include <functional>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/verdict/years_answer.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

std::string years_table(scenarios::Scenario const& scenario, sim::YearsAnswer const& answer, Units units);

/// "47 of 50 years, 94 % (84 to 98 %)".
std::string words(sim::Odds const& odds);

}  // namespace holdwater::tools
