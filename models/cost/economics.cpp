#include "models/cost/economics.hpp"

#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

double capital_recovery(double rate, double years) {
    require(rate > -1, "rate", rate, "must be above -1: 5 % is 0.05");
    require(years > 0, "years", years, "must be above 0");
    if (rate == 0) return 1 / years;
    return rate / -std::expm1(-years * std::log1p(rate));
}

double present_value(double sum, double rate, double years) {
    return sum * std::exp(-years * std::log1p(rate));
}

void validate(CostInputs const& c) {
    require(c.capital >= 0, "capital", c.capital, "must be >= 0");
    require(c.yearly_maintenance >= 0, "yearly_maintenance", c.yearly_maintenance, "must be >= 0");
    require(c.yearly_energy >= 0, "yearly_energy", c.yearly_energy, "must be >= 0");
    require(c.rate > -1 && c.rate < 1, "rate", c.rate, "must be above -1 and below 1: 5 % is 0.05");
    require(c.years > 0 && c.years <= 200, "years", c.years, "must be above 0 and at most 200");
    for (auto const& part : c.parts) {
        require(part.cost >= 0, "part cost", part.cost, "must be >= 0");
        require(part.life_y > 0, "part life_y", part.life_y, "must be above 0");
    }
}

LifetimeCost lifetime_cost(CostInputs const& in) {
    validate(in);
    double const recovery = capital_recovery(in.rate, in.years);
    LifetimeCost c{};
    c.capital = in.capital;
    c.maintenance = in.yearly_maintenance / recovery;
    c.energy = in.yearly_energy / recovery;
    for (auto const& [cost, life_y] : in.parts) {
        if (std::isinf(life_y)) continue;
        // A part that lasts to the end, except for rounding, is not replaced on the last day.
        double const end_y = in.years - 1e-9 * life_y;
        int used = 1;
        for (; used * life_y < end_y; ++used) c.replacements += present_value(cost, in.rate, used * life_y);
        double const remaining_y = used * life_y - in.years;
        if (in.credit_salvage && remaining_y > 0)
            c.salvage += present_value(cost * remaining_y / life_y, in.rate, in.years);
    }
    c.life_cycle_cost = c.capital + c.replacements + c.maintenance + c.energy - c.salvage;
    c.yearly = c.life_cycle_cost * recovery;
    return c;
}

double cost_per_unit(LifetimeCost const& cost, double units_per_y) {
    return units_per_y > 0 ? cost.yearly / units_per_y : std::numeric_limits<double>::infinity();
}

}  // namespace holdwater::models
