#include "sim/designs/rank_designs.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace holdwater;
using namespace holdwater::sim;

namespace {

// A design that is nothing but the figures it is ranked by.
DesignFigures figures(double shortage_h, double generator_h, double grid_kwh, double days) {
    DesignFigures f;
    f.year.shortage_hours = shortage_h;
    f.year.generator_run_h = generator_h;
    f.year.grid_kwh = grid_kwh;
    f.year.water_delivered_m3 = 100;
    f.autonomy.water.worst_d = days;
    return f;
}

scenarios::Design named(std::string name, std::optional<scenarios::Prices> prices = std::nullopt) {
    scenarios::Design d;
    d.name = std::move(name);
    d.prices = std::move(prices);
    return d;
}

scenarios::Prices priced(double purchase, double years = 20) {
    scenarios::Prices p;
    p.currency = "USD";
    p.purchase = purchase;
    p.years = years;
    return p;
}

std::vector<DrawnYear> years_of(std::vector<double> const& shortage_h) {
    std::vector<DrawnYear> years(shortage_h.size());
    for (std::size_t i = 0; i < years.size(); ++i) years[i].summary.shortage_hours = shortage_h[i];
    return years;
}

using Order = std::vector<std::size_t>;

}  // namespace

TEST_SUITE_BEGIN("sim/rank_designs");

TEST_CASE("each figure decides where those before it show the same") {
    double const more = std::numeric_limits<double>::infinity();
    auto const order = [](DesignFigures const& a, DesignFigures const& b) {
        return rank_designs({named("a"), named("b")}, {a, b}, {}).order;
    };
    CHECK(order(figures(3, 0, 0, 9), figures(2, 50, 50, 1)) == Order{1, 0});
    CHECK(order(figures(2.4, 9, 0, 9), figures(1.6, 8, 0, 9)) == Order{1, 0});    // both 2 h
    CHECK(order(figures(0, 8.04, 9, 9), figures(0, 8.01, 8, 9)) == Order{1, 0});  // both 8.0 h
    CHECK(order(figures(0, 8.06, 8, 9), figures(0, 8.01, 9, 9)) == Order{1, 0});
    CHECK(order(figures(0, 0, 0, 4), figures(0, 0, 0, more)) == Order{1, 0});
    CHECK(order(figures(0, 0, 0, 4.04), figures(0, 0, 0, 4)) == Order{0, 1});  // the same: as they stand
    CHECK(order(figures(0, 0, 0, more), figures(0, 0, 0, more)) == Order{0, 1});
}

TEST_CASE("a bad drawn year comes before money, and money before the backup") {
    std::vector<DesignFigures> const both{figures(0, 0, 0, 9), figures(0, 99, 0, 1)};
    std::vector<scenarios::Design> const designs{named("dear", priced(2000)), named("cheap", priced(1000))};
    auto const by_money = rank_designs(designs, both, {});
    CHECK(by_money.costs == CostsCompared::yes);
    CHECK(by_money.currency == "USD");
    CHECK(by_money.order == Order{1, 0});
    CHECK(rank_value(by_money.designs[0], RankFigure::life_cycle_cost) == 2000);
    // One year of ten at 40 h against 39.6: the same; against 30: not.
    auto const ten = [](double worst) { return years_of({0, 0, 0, 0, 0, 0, 0, 0, worst, worst}); };
    CHECK(rank_designs(designs, both, {ten(40), ten(39.6)}).order == Order{1, 0});
    auto const by_years = rank_designs(designs, both, {ten(30), ten(40)});
    CHECK(by_years.order == Order{0, 1});
    CHECK(by_years.figures[1] == RankFigure::shortage_hours_one_in_ten);
    // One year more without a shortage outweighs a worse year in ten.
    CHECK(rank_designs(designs, both, {years_of({0, 1, 1}), years_of({0, 0, 9})}).order == Order{1, 0});
    CHECK(rank_value(by_years.designs[1], RankFigure::shortage_hours_one_in_ten) == 40);
}

TEST_CASE("costs stand side by side or nowhere") {
    std::vector<DesignFigures> const both{figures(0, 5, 0, 9), figures(0, 4, 0, 9)};
    auto const one = rank_designs({named("a", priced(1000)), named("b")}, both, {});
    CHECK(one.costs == CostsCompared::prices_missing);
    CHECK(one.without_prices == std::vector<std::string>{"b"});
    CHECK(!one.designs[0].cost);
    CHECK(one.order == Order{1, 0});
    auto const unlike = rank_designs({named("a", priced(1000)), named("b", priced(1000, 15))}, both, {});
    CHECK(unlike.costs == CostsCompared::terms_differ);
    CHECK(unlike.currency.empty());
    CHECK(!unlike.designs[0].cost);
}

TEST_SUITE_END();
