#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"
#include "sim/autonomy/cloudy_period_answer.hpp"
#include "tools/show/cloudy_period_view.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// "battery at 74 % (typical year at that date and hour), cistern at 60 % .." for one start date or for all.
std::string start_levels_text(sim::CloudyPeriodAnswer const& answer, Units units);

/// "grid", "generator", "none".
std::string_view backup_word(sim::Backup backup);

std::string cloudy_period_answer_table(scenarios::Scenario const& scenario,
                                       sim::CloudyPeriodAnswer const& answer, Units units, bool plain);

}  // namespace holdwater::tools
