#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "models/cost/economics.hpp"
#include "scenarios/design/design.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {

/// One design with its figures and, if all designs have prices, its cost.
struct ComparedDesign {
    std::string name;
    DesignFigures figures;
    /// Mean of the made or recorded years; without any, of the typical year.
    std::optional<models::LifetimeCost> cost;
    std::optional<Spread> cost_spread;  ///< of the life-cycle cost over these years
    /// Yearly cost divided by the water delivered; infinite if none is delivered.
    double cost_per_m3 = 0;
    std::vector<DrawnYear> years;         ///< the same years for all designs; may be empty
    std::optional<YearsVerdict> verdict;  ///< on these years, as the design's [required] judges them
};

/// Whether the costs of the designs can be compared.
enum class CostsCompared { yes, prices_missing, terms_differ };

/// The figures by which designs are ranked, in this order: the cost only if costs are compared, the figures
/// over many years only if there are any.
enum class RankFigure {
    years_held,
    shortage_hours_one_in_ten,
    shortage_hours,
    life_cycle_cost,
    generator_run_h,
    grid_kwh,
    autonomy_days
};

struct DesignRanking {
    std::vector<ComparedDesign> designs;  ///< in the order in which they were given
    CostsCompared costs = CostsCompared::yes;
    std::vector<std::string> without_prices;  ///< names of designs that have no prices
    std::string currency;                     ///< currency of all costs; empty if costs are not compared
    double cost_years = 0, discount_rate = 0;
    std::vector<RankFigure> figures;
    std::vector<std::size_t> order;  ///< indices of `designs`, the first choice first
};

/// Ranked by most years that hold (YearsVerdict::held), then by fewest hours short of water in a bad year (1
/// in 10), then by fewest hours short of water in the typical year, life-cycle cost, generator hours, grid
/// energy and autonomy. Figures that round to the same value count as equal (hours and money to whole
/// numbers, generator hours and days to tenths); of equal designs the earlier one comes first. `draws` may be
/// empty. Pre: one or more designs, as many figures as designs, and as many lists of years as designs, or
/// none.
DesignRanking rank_designs(std::vector<scenarios::Design> const& designs, std::vector<DesignFigures> figures,
                           std::vector<std::vector<DrawnYear>> draws);

/// The figure of a design; infinite days: longer than was run.
double rank_value(ComparedDesign const& design, RankFigure figure);

/// Whether two values of the figure count as equal.
bool ranks_same(RankFigure figure, double a, double b);

/// Range of a figure over the years of a design; `better`: +1 more is better, -1 less is better.
Spread spread_over_years(ComparedDesign const& design, double Summary::*value, int better);

}  // namespace holdwater::sim
