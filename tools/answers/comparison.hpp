#pragma once

#include <optional>
#include <string>
#include <vector>

#include "models/cost/economics.hpp"
#include "scenarios/design/design.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/designs/made_years.hpp"
#include "sim/files/table_file.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// One design with what it does and, when all have prices, what it costs.
struct ComparedDesign {
    std::string name;
    sim::DesignFigures figures;
    std::optional<models::LifetimeCost> cost;
    double cost_per_m3 = 0;             ///< yearly cost over the water delivered; infinite when none is
    std::vector<sim::DrawnYear> years;  ///< the same years for all designs; may be empty
};

/// One line of the comparison; `better`: +1 more is better, -1 less is.
struct ComparisonRow {
    std::string name, label, unit;
    int better{};
    std::vector<double> values;      ///< one a design; infinity where it is more than was looked at, or never
    std::vector<std::string> shown;  ///< rounded for reading
    std::vector<bool> best;          ///< as shown; none when all are equal
};

struct Comparison {
    std::vector<ComparedDesign> designs;  ///< in the order of the file
    std::vector<ComparisonRow> rows;
    std::size_t chosen = 0;
    std::string order;                 ///< by what it was chosen, in words
    std::vector<std::string> reasons;  ///< one a design, with figures
    std::string cost_note;             ///< how it was priced, or why not
    std::string years_note;            ///< which years the ranges are over, or why there are none
};

/// Chosen by fewest hours short of water; then by the hours short of water one drawn year in ten passes; then
/// by life-cycle cost, or without prices by generator hours, grid energy and autonomy. What rounds to the
/// same figure counts as the same. `draws` may be empty.
Comparison compare_designs(std::vector<scenarios::Design> const& designs,
                           std::vector<sim::DesignFigures> figures, sim::Draws draws, int cloudy_period_days,
                           Units units);

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

/// Range of a figure over a design's drawn years.
sim::Spread spread_over_years(ComparedDesign const& design, double sim::Summary::*value, int better);

std::string comparison_table(Comparison const& comparison);

}  // namespace holdwater::tools
