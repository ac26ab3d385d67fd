#pragma once

#include <vector>

namespace holdwater::models {

/// Costs over the life of a design, in any one currency. Use a real rate with today's prices, or a nominal
/// rate with future prices; never mix the two.

/// Capital recovery factor: i (1+i)^N / ((1+i)^N - 1); 1/N at i = 0. Rate per year [-] > -1, years > 0.
double capital_recovery(double rate, double years);

/// Present value of a sum paid after `years`.
double present_value(double sum, double rate, double years);

/// A part that is replaced when its life is over. The capital includes the first one.
struct ReplacedPart {
    double cost = 0;    ///< of each replacement
    double life_y = 0;  ///< > 0; infinite: never replaced
};

struct CostInputs {
    double capital = 0;
    double yearly_maintenance = 0;  ///< operation and maintenance
    double yearly_energy = 0;       ///< fuel and grid
    std::vector<ReplacedPart> parts;
    double rate = 0.05;          ///< per year [-], > -1
    double years = 20;           ///< > 0
    bool credit_salvage = true;  ///< counts the residual value of the last part: cost x remaining / life
};

/// Throws ParameterError naming the field.
void validate(CostInputs const& inputs);

struct LifetimeCost {
    double life_cycle_cost = 0;
    double capital = 0, replacements = 0, maintenance = 0, energy = 0,
           salvage = 0;  ///< present values; salvage is subtracted
    double yearly = 0;   ///< life-cycle cost x capital recovery
};

/// Replacements fall at life, 2 life, ... before (not at) the end.
LifetimeCost lifetime_cost(CostInputs const& inputs);

/// Cost of one unit (kWh served, m3 delivered); infinite if there are none. The shortfall must be stated
/// beside it.
double cost_per_unit(LifetimeCost const& cost, double units_per_y);

}  // namespace holdwater::models
