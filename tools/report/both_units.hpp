#pragma once

#include <string>
#include <vector>

#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// One text from the same sentence in two unit systems: "Pump 38 L/min (10 gpm) at cut-in." Words that are
/// the same appear once; where the texts differ, the US words follow the metric ones in parentheses.
std::string in_both_units(std::string const& metric, std::string const& us);

/// For each check in metric units the same one in US units: the one with the same name or, if several pumps
/// share a name, the one at the same position among them. Throws std::logic_error naming the check if the two
/// lists do not have the same checks, so that no text is left out or put beside another check.
std::vector<sim::Check const*> paired_by_name(std::vector<sim::Check> const& metric,
                                              std::vector<sim::Check> const& us);

}  // namespace holdwater::tools
