#include "scenarios/design/read_prices.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenarios/parts/parts.hpp"
#include "scenarios/text/section.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

constexpr Range money{0, 1e9};

double parts_cost(Section& s, Scenario const& scenario, std::string& currency) {
    for (auto const& part : scenario.parts) {
        if (!part.price || part.currency.empty()) continue;
        if (currency.empty()) currency = part.currency;
        if (part.currency != currency)
            s.fail(
                s.has("currency") ? "currency" : "",
                fmt::format("prices in {} cannot be added to the price of \"{}\" in {} ({}); give 'purchase'",
                            currency, part.name, part.currency, part.list));
    }
    std::string unpriced;
    double const sum = cost_of(scenario.parts, unpriced);
    if (!unpriced.empty())
        s.fail("", fmt::format("the key 'purchase' is missing in the table [prices], and these parts have no "
                               "price to add up: {}",
                               unpriced));
    return sum;
}

}  // namespace

Prices read_prices(toml::node const& node, Scenario const& scenario) {
    if (!node.is_table())
        throw ScenarioError(scenario.path, node.source().begin.line, "prices",
                            "must be a table, written [prices]");
    Section s(scenario.path, "prices", *node.as_table());
    Prices p;
    p.currency = s.text("currency", "");
    if (s.has("purchase") || scenario.parts.empty()) {
        p.purchase = s.number("purchase", money);
        refuse_unused(s, {"besides_parts"},
                      "is for a purchase added up from the prices of parts; leave 'purchase' out for that");
    } else {
        p.purchase = parts_cost(s, scenario, p.currency) + s.number("besides_parts", money, 0);
    }
    p.fuel_per_liter = uses_generator(scenario.rules) ? s.number("fuel_per_liter", {0, 1000})
                                                      : s.number("fuel_per_liter", {0, 1000}, 0);
    p.grid_per_kwh = scenario.rules.backup == Backup::grid ? s.number("grid_per_kwh", {0, 1000})
                                                           : s.number("grid_per_kwh", {0, 1000}, 0);
    auto const& tariff = scenario.rules.tariff;
    p.grid_peak_per_kwh = tariff ? tariff->peak_price : p.grid_per_kwh;
    p.grid_low_per_kwh = tariff && !tariff->low.none() ? tariff->low_price : p.grid_per_kwh;
    p.maintenance_per_year = s.number("maintenance_per_year", money, 0);
    p.generator_maintenance_per_hour = s.number("generator_maintenance_per_hour", {0, 1e4}, 0);
    auto const battery = std::find_if(scenario.parts.begin(), scenario.parts.end(), [](UsedPart const& part) {
        return part.section == "battery" && part.price;
    });
    auto const& life = scenario.battery_life;
    bool const reckoned =
        life.cycle_life || std::isfinite(life.calendar_life_y) || std::isfinite(life.throughput_life_kwh);
    bool const given = s.has("battery_life_years");
    double const like_this =
        battery != scenario.parts.end() && (given || reckoned) ? *battery->price * battery->count : 0;
    p.battery_replacement = s.number("battery_replacement", money, like_this);
    if (p.battery_replacement > 0 && (given || !reckoned))
        p.battery_life_y = s.number("battery_life_years", {0.5, 100});
    p.years = s.number("years", {1, 100});
    p.discount_rate = s.number("discount_rate", {-0.05, 0.5});
    s.finish();
    return p;
}

}  // namespace holdwater::scenarios
