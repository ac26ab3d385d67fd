#pragma once

#include <string>
#include <vector>

#include "sim/designs/rank_designs.hpp"
#include "sim/files/table_file.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// One line of the comparison; `better`: +1 more is better, -1 less is.
struct ComparisonRow {
    std::string name, label, unit;
    int better{};
    std::vector<double> values;      ///< one for each design; infinity: more than was run, or never
    std::vector<std::string> shown;  ///< rounded for reading
    std::vector<bool> best;          ///< indices of the best designs as shown; none if all are equal
};

/// A ranking of designs as text.
struct Comparison {
    sim::DesignRanking ranking;
    std::vector<ComparisonRow> rows;
    std::string verdict;               ///< of the first design over its years; empty without years
    std::string order;                 ///< the order of ranking, in words
    std::vector<std::string> reasons;  ///< one sentence for each design, with figures
    /// One text for each design: a mark for each year; empty without years.
    std::vector<std::string> dots;
    std::string dots_legend;
    std::string cost_note;   ///< how the cost was calculated, or why there is none
    std::string years_note;  ///< the years of the ranges, or why there are none
};
inline sim::ComparedDesign const& first_of(Comparison const& c) {
    return c.ranking.designs[c.ranking.order[0]];
}

/// `designs`: those of the ranking, in their order; `draws`: the years of the ranking; may be empty.
Comparison comparison_of(std::vector<scenarios::Design> const& designs, sim::DesignRanking ranking,
                         sim::Draws const& draws, Units units);

/// Below the years that hold, those with the battery at the age that [required] does not judge. `draws`: the
/// same years of the same designs at that age.
void add_other_age(Comparison& comparison, sim::Draws const& draws,
                   std::vector<scenarios::Design> const& designs);

/// Figures that are shown with their range over the years.
struct RangedFigure {
    char const *name{}, *figure{}, *label{}, *unit{};
    double sim::Summary::*value;
    int better{};
    double factor{};
    int digits{};
};
std::vector<RangedFigure> ranged_figures();

/// Every row as a column, one row for each design; and the reasons.
sim::Table designs_table(Comparison const& comparison);

std::string comparison_table(Comparison const& comparison);

}  // namespace holdwater::tools
