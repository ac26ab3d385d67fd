#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"
#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// "+25 %": by how much a check is kept; nothing where that says nothing. `beyond`: for 1000 % and more.
std::string margin_text(double margin, std::string_view beyond = ">999 %");

/// The checks for a person: verdict, value, limit and margin a line, then what to change; sources at the end
/// by number. No line longer than 80 columns as long as no single word is.
std::string check_table(scenarios::Scenario const& scenario, sim::DesignCheck const& design_check);

}  // namespace holdwater::tools
