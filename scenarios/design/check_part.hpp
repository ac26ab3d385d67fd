#pragma once

#include <string>
#include <vector>

#include "scenarios/design/part_figures.hpp"
#include "scenarios/parts/parts.hpp"

namespace holdwater::scenarios {

struct PartCheck {
    std::vector<std::string> warnings;  ///< possible but unusual
    std::vector<PartFigure> figures;
};

/// Reads a part as in a scenario, in a design that it fits: units, ranges, unknown keys, rules of the models.
/// Throws ScenarioError at the line of the part in its list.
PartCheck check_part(PartsList const& list, Part const& part);

}  // namespace holdwater::scenarios
