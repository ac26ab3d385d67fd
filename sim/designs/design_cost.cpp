#include "sim/designs/design_cost.hpp"

#include <cmath>

namespace holdwater::sim {

std::optional<models::LifetimeCost> cost_of(std::optional<scenarios::Prices> const& prices,
                                            Summary const& year, Findings const& findings) {
    if (!prices) return std::nullopt;
    auto const& p = *prices;
    models::CostInputs in;
    in.capital = p.purchase;
    in.yearly_maintenance = p.maintenance_per_year + p.generator_maintenance_per_hour * year.generator_run_h;
    in.yearly_energy = p.fuel_per_liter * year.generator_fuel_l + p.grid_per_kwh * year.grid_kwh +
                       (p.grid_peak_per_kwh - p.grid_per_kwh) * year.grid_peak_kwh +
                       (p.grid_low_per_kwh - p.grid_per_kwh) * year.grid_low_kwh;
    double life_y = p.battery_life_y;
    if (std::isinf(life_y) && findings.battery_life_y > 0) life_y = findings.battery_life_y;
    if (p.battery_replacement > 0 && std::isfinite(life_y))
        in.parts.push_back({p.battery_replacement, life_y});
    in.rate = p.discount_rate;
    in.years = p.years;
    return models::lifetime_cost(in);
}

std::optional<CostOverYears> cost_over_years(std::optional<scenarios::Prices> const& prices,
                                             std::vector<DrawnYear> const& years, Summary const& typical,
                                             Findings const& findings) {
    if (!prices) return std::nullopt;
    std::vector<models::LifetimeCost> costs;
    std::vector<double> whole;
    for (auto const& year : years) {
        if (!year.problem.empty()) continue;
        costs.push_back(*cost_of(prices, year.summary, year.findings));
        whole.push_back(costs.back().life_cycle_cost);
    }
    if (costs.empty()) return CostOverYears{*cost_of(prices, typical, findings), std::nullopt};
    CostOverYears over;
    for (auto const part :
         {&models::LifetimeCost::life_cycle_cost, &models::LifetimeCost::capital,
          &models::LifetimeCost::replacements, &models::LifetimeCost::maintenance,
          &models::LifetimeCost::energy, &models::LifetimeCost::salvage, &models::LifetimeCost::yearly})
        for (auto const& cost : costs) over.mean.*part += cost.*part / static_cast<double>(costs.size());
    over.spread = spread_of(whole, -1);
    return over;
}

double least_cost(scenarios::Prices const& prices) {
    auto without_battery = prices;
    without_battery.battery_replacement = 0;
    double const fixed = cost_of(without_battery, {}, {})->life_cycle_cost;
    if (!(prices.battery_replacement > 0)) return fixed;
    if (std::isfinite(prices.battery_life_y)) return cost_of(prices, {}, {})->life_cycle_cost;
    return fixed - models::present_value(prices.battery_replacement, prices.discount_rate, prices.years);
}

}  // namespace holdwater::sim
