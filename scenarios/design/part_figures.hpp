#pragma once

#include <string_view>
#include <vector>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// A figure for comparing parts. Units: W, kWh, V, A, VA, m, m3/s, L/h, m3, mm, ohm/km or "".
struct PartFigure {
    std::string_view name;
    double value = 0;
    std::string_view unit;
};

/// Figures of the part of this kind, from a scenario that was read with it.
std::vector<PartFigure> part_figures(std::string_view kind, Scenario const& scenario);

}  // namespace holdwater::scenarios
