#pragma once

#include <optional>
#include <vector>

#include "models/cost/economics.hpp"
#include "scenarios/design/prices.hpp"
#include "sim/base/run_result.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// What a design costs over its years when every year is like this one: fuel and grid energy as run,
/// batteries replaced at the life the prices give or else the run reckons (never, where neither says).
/// Nothing without prices.
std::optional<models::LifetimeCost> cost_of(std::optional<scenarios::Prices> const& prices,
                                            Summary const& year, Findings const& findings);

/// The cost over many years: `mean` of what cost_of gives for each of them, every part of it, and how the
/// whole life-cycle cost spreads over them.
struct CostOverYears {
    models::LifetimeCost mean;
    std::optional<Spread> spread;  ///< nothing: of the typical year alone
};
/// Over the years that could be run; over the typical year where there are none. Nothing without prices.
std::optional<CostOverYears> cost_over_years(std::optional<scenarios::Prices> const& prices,
                                             std::vector<DrawnYear> const& years, Summary const& typical,
                                             Findings const& findings);

/// No run of the design can cost less: no fuel, no grid energy, no generator hour, and the first battery, as
/// good as new, credited at the end.
double least_cost(scenarios::Prices const& prices);

}  // namespace holdwater::sim
