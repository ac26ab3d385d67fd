#pragma once

#include <string>
#include <vector>

#include "sim/check/design_check.hpp"

namespace holdwater::tools {

/// One text out of the same sentence in two unit systems: "Pump 38 L/min (10 gpm) at cut-in." What is alike
/// stands once; what differs has the US words in brackets behind the metric ones.
std::string in_both_units(std::string const& metric, std::string const& us);

/// For each check in metric units the same one in US units: of its name, and where several pumps share a
/// name, of its place among them. Throws std::logic_error naming the check when the two lists do not hold the
/// same checks, so that no text is left out or put beside another check.
std::vector<sim::Check const*> paired_by_name(std::vector<sim::Check> const& metric,
                                              std::vector<sim::Check> const& us);

}  // namespace holdwater::tools
