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
    std::vector<double> values;      ///< one a design; infinity where it is more than was looked at, or never
    std::vector<std::string> shown;  ///< rounded for reading
    std::vector<bool> best;          ///< as shown; none when all are equal
};

/// A ranking of designs as it is read.
struct Comparison {
    sim::DesignRanking ranking;
    std::vector<ComparisonRow> rows;
    std::string order;                 ///< by what it was ranked, in words
    std::vector<std::string> reasons;  ///< one a design, with figures
    std::vector<std::string> dots;     ///< one a design: a mark for each year; empty without years
    std::string dots_legend;
    std::string cost_note;   ///< how it was priced, or why not
    std::string years_note;  ///< which years the ranges are over, or why there are none
};
inline sim::ComparedDesign const& first_of(Comparison const& c) {
    return c.ranking.designs[c.ranking.order[0]];
}

/// `draws`: where the ranking's years come from; may be empty.
Comparison comparison_of(sim::DesignRanking ranking, sim::Draws const& draws, Units units);

/// Figures shown with their range over the drawn years.
struct RangedFigure {
    char const *name{}, *figure{}, *label{}, *unit{};
    double sim::Summary::*value;
    int better{};
    double factor{};
    int digits{};
};
std::vector<RangedFigure> ranged_figures();

/// Every row as a column, a row a design; and the reasons.
sim::Table designs_table(Comparison const& comparison);

std::string comparison_table(Comparison const& comparison);

}  // namespace holdwater::tools
