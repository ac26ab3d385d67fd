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

/// Reads a part as a scenario would, in surroundings it fits: units, ranges, unknown keys, the models' own
/// rules. Throws ScenarioError at the part's line in its list.
PartCheck check_part(PartsList const& list, Part const& part);

}  // namespace holdwater::scenarios
