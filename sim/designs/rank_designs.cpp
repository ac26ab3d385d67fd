#include "sim/designs/rank_designs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "models/numeric/expects.hpp"
#include "sim/designs/design_cost.hpp"

namespace holdwater::sim {
namespace {

bool more_is_better(RankFigure figure) {
    return figure == RankFigure::autonomy_days || figure == RankFigure::years_held;
}

bool on_same_terms(scenarios::Prices const& a, scenarios::Prices const& b) {
    return a.currency == b.currency && a.years == b.years && a.discount_rate == b.discount_rate;
}

// Costs are compared for all designs or for none.
void compare_costs(std::vector<scenarios::Design> const& designs, DesignRanking& r) {
    auto const& first = designs.front().prices;
    for (auto const& d : designs) {
        if (!d.prices)
            r.without_prices.push_back(d.name);
        else if (first && !on_same_terms(*d.prices, *first))
            r.costs = CostsCompared::terms_differ;
    }
    if (!r.without_prices.empty()) r.costs = CostsCompared::prices_missing;
    if (r.costs != CostsCompared::yes) return;
    r.currency = first->currency;
    r.cost_years = first->years;
    r.discount_rate = first->discount_rate;
    for (std::size_t i = 0; i < designs.size(); ++i) {
        auto& d = r.designs[i];
        auto const cost = cost_over_years(designs[i].prices, d.years, d.figures.year, d.figures.findings);
        d.cost = cost->mean;
        d.cost_spread = cost->spread;
        double const delivered_m3 = cost->spread ? spread_over_years(d, &Summary::water_delivered_m3, 1).mean
                                                 : d.figures.year.water_delivered_m3;
        d.cost_per_m3 = models::cost_per_unit(*d.cost, delivered_m3);
    }
}

bool ahead(DesignRanking const& r, std::size_t a, std::size_t b) {
    for (auto const figure : r.figures) {
        double const of_a = rank_value(r.designs[a], figure), of_b = rank_value(r.designs[b], figure);
        if (!ranks_same(figure, of_a, of_b)) return more_is_better(figure) ? of_a > of_b : of_a < of_b;
    }
    return false;  // of equal designs the earlier one stays first
}

}  // namespace

double rank_value(ComparedDesign const& d, RankFigure figure) {
    switch (figure) {
        case RankFigure::years_held:
            return d.verdict->held;
        case RankFigure::shortage_hours:
            return d.figures.year.shortage_hours;
        case RankFigure::shortage_hours_one_in_ten:
            return spread_over_years(d, &Summary::shortage_hours, -1).bad;
        case RankFigure::life_cycle_cost:
            return d.cost->life_cycle_cost;
        case RankFigure::generator_run_h:
            return d.figures.year.generator_run_h;
        case RankFigure::grid_kwh:
            return d.figures.year.grid_kwh;
        case RankFigure::autonomy_days:
            return d.figures.autonomy.water.worst_d;
    }
    return 0;
}

bool ranks_same(RankFigure figure, double a, double b) {
    if (figure == RankFigure::shortage_hours_one_in_ten) return std::round(a) == std::round(b);
    bool const tenths = figure == RankFigure::generator_run_h || figure == RankFigure::autonomy_days;
    auto const shown = [&](double v) { return fmt::format("{:.{}f}", v, tenths ? 1 : 0); };
    return shown(a) == shown(b);
}

Spread spread_over_years(ComparedDesign const& design, double Summary::*value, int better) {
    std::vector<double> values;
    for (auto const& year : design.years)
        if (year.problem.empty()) values.push_back(year.summary.*value);
    return spread_of(values, better);
}

DesignRanking rank_designs(std::vector<scenarios::Design> const& designs, std::vector<DesignFigures> figures,
                           std::vector<std::vector<DrawnYear>> draws) {
    HOLDWATER_EXPECTS(!designs.empty() && figures.size() == designs.size() &&
                      (draws.empty() || draws.size() == designs.size()));
    DesignRanking r;
    for (std::size_t i = 0; i < designs.size(); ++i) {
        r.designs.push_back({designs[i].name, std::move(figures[i]), std::nullopt, std::nullopt, 0, {}, {}});
        if (draws.empty() || draws[i].empty()) continue;
        auto& design = r.designs.back();
        design.years = std::move(draws[i]);
        design.verdict = verdict_of(design.years, designs[i].scenario.years.required);
    }
    compare_costs(designs, r);
    if (!r.designs.front().years.empty())
        r.figures = {RankFigure::years_held, RankFigure::shortage_hours_one_in_ten};
    r.figures.push_back(RankFigure::shortage_hours);
    if (r.costs == CostsCompared::yes) r.figures.push_back(RankFigure::life_cycle_cost);
    for (auto const f : {RankFigure::generator_run_h, RankFigure::grid_kwh, RankFigure::autonomy_days})
        r.figures.push_back(f);
    r.order.resize(designs.size());
    std::iota(r.order.begin(), r.order.end(), std::size_t{0});
    std::stable_sort(r.order.begin(), r.order.end(),
                     [&](std::size_t a, std::size_t b) { return ahead(r, a, b); });
    return r;
}

}  // namespace holdwater::sim
