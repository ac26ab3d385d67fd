#pragma once

#include <string>
#include <string_view>

#include "scenarios/settings/scenario.hpp"
#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// "+25 %": the margin of a check; empty if a margin has no meaning. `beyond`: text for 1000 % and more.
std::string margin_text(double margin, std::string_view beyond = ">999 %");

/// The checks for the reader: first those that fail or are unknown, each with what to do, then those close to
/// their limit or waived, then the names of those that pass. `with_sources`: instead all checks by group,
/// with the source of each limit. No line is longer than 80 columns, unless a single word is.
std::string check_table(scenarios::Scenario const& scenario, sim::DesignCheck const& design_check,
                        bool with_sources);

}  // namespace holdwater::tools
