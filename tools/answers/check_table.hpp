#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"
#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// "+25 %": by how much a check is kept; nothing where that says nothing. `beyond`: for 1000 % and more.
std::string margin_text(double margin, std::string_view beyond = ">999 %");

/// The checks for a person: what fails and what is unknown first, each with what to do, then what is close to
/// its limit or waived, then the names of what passes. `with_sources`: instead all of them by group, with the
/// source of each limit. No line longer than 80 columns as long as no single word is.
std::string check_table(scenarios::Scenario const& scenario, sim::DesignCheck const& design_check,
                        bool with_sources);

}  // namespace holdwater::tools
