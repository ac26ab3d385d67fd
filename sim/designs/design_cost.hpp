#pragma once

#include <optional>
#include <vector>

#include "models/cost/economics.hpp"
#include "scenarios/design/prices.hpp"
#include "sim/base/run_result.hpp"
#include "sim/verdict/made_years.hpp"

namespace holdwater::sim {

/// The cost of a design over its years if every year is like this one: fuel and grid energy as in the run,
/// batteries replaced after the life given in [prices] or, without one, after the life that follows from the
/// run (never, if neither gives one). Nothing without prices.
std::optional<models::LifetimeCost> cost_of(std::optional<scenarios::Prices> const& prices,
                                            Summary const& year, Findings const& findings);

/// The cost over many years: every part of `mean` is the mean of cost_of over the years; also the range of
/// the life-cycle cost over these years.
struct CostOverYears {
    models::LifetimeCost mean;
    std::optional<Spread> spread;  ///< nothing: cost of the typical year alone
};
/// Over the years that could be run, or over the typical year if there are none. Nothing without prices.
std::optional<CostOverYears> cost_over_years(std::optional<scenarios::Prices> const& prices,
                                             std::vector<DrawnYear> const& years, Summary const& typical,
                                             Findings const& findings);

/// Lower bound of the cost of any run of this design: no fuel, no grid energy, no generator hours, and the
/// first battery never replaced and credited as new at the end.
double least_cost(scenarios::Prices const& prices);

}  // namespace holdwater::sim
