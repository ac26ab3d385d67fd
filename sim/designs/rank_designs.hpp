#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "models/cost/economics.hpp"
#include "scenarios/design/design.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// One design with what it does and, when all have prices, what it costs.
struct ComparedDesign {
    std::string name;
    DesignFigures figures;
    std::optional<models::LifetimeCost> cost;  ///< mean of the drawn years; of the typical year without any
    std::optional<Spread> cost_spread;         ///< of the life-cycle cost over the drawn years
    double cost_per_m3 = 0;        ///< yearly cost over the water delivered; infinite when none is
    std::vector<DrawnYear> years;  ///< the same years for all designs; may be empty
};

/// Whether the costs of the designs can be set side by side.
enum class CostsCompared { yes, prices_missing, terms_differ };

/// What designs are ranked by, in this order: the cost where costs are compared, the drawn years where there
/// are any.
enum class RankFigure {
    years_without_shortage,
    shortage_hours_one_in_ten,
    shortage_hours,
    life_cycle_cost,
    generator_run_h,
    grid_kwh,
    autonomy_days
};

struct DesignRanking {
    std::vector<ComparedDesign> designs;  ///< in the order they were given
    CostsCompared costs = CostsCompared::yes;
    std::vector<std::string> without_prices;  ///< names, where prices are missing
    std::string currency;                     ///< of all; empty where costs are not compared
    double cost_years = 0, discount_rate = 0;
    std::vector<RankFigure> figures;
    std::vector<std::size_t> order;  ///< of `designs`, the first choice first
};

/// Ranked by most years without a shortage, then by the hours short of water that one year in ten exceeds;
/// then by fewest hours short of water in the typical year, life-cycle cost, generator hours, grid energy and
/// autonomy. What rounds to the same figure counts as the same (hours and money to whole ones, generator and
/// days to tenths); of equals the earlier comes first. `draws` may be empty. Pre: as many figures as designs,
/// one or more; as many lists of years, or none.
DesignRanking rank_designs(std::vector<scenarios::Design> const& designs, std::vector<DesignFigures> figures,
                           std::vector<std::vector<DrawnYear>> draws);

/// The figure of a design; infinite days: longer than was looked at.
double rank_value(ComparedDesign const& design, RankFigure figure);

/// Whether two values of the figure count as the same.
bool ranks_same(RankFigure figure, double a, double b);

/// Range of a figure over a design's drawn years; `better`: +1 more is better, -1 less is.
Spread spread_over_years(ComparedDesign const& design, double Summary::*value, int better);

}  // namespace holdwater::sim
