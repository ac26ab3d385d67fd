#include "tools/comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>

namespace holdwater::tools {
namespace {

constexpr double m3_per_1000_gal = 3.785411784;

using Get = std::function<double(ComparedDesign const&)>;
using Show = std::function<std::string(double)>;

Show decimals(int digits) {
    return
        [digits](double v) { return std::isinf(v) ? std::string("-") : fmt::format("{:.{}f}", v, digits); };
}

ComparisonRow row_of(std::vector<ComparedDesign> const& designs, std::string name, std::string label,
                     std::string unit, int better, Get const& get, Show const& show) {
    ComparisonRow row{std::move(name), std::move(label), std::move(unit), better, {}, {}, {}};
    for (auto const& d : designs) {
        row.values.push_back(get(d));
        row.shown.push_back(show(row.values.back()));
    }
    auto const best = std::max_element(row.values.begin(), row.values.end(),
                                       [&](double a, double b) { return better * a < better * b; });
    std::string const shown = row.shown[static_cast<std::size_t>(best - row.values.begin())];
    bool const all =
        std::all_of(row.shown.begin(), row.shown.end(), [&](auto const& s) { return s == shown; });
    for (auto const& s : row.shown) row.best.push_back(!all && s == shown);
    return row;
}

std::vector<ComparisonRow> rows_of(std::vector<ComparedDesign> const& designs, std::string const& currency,
                                   double years, int poorest_days, Units units) {
    using D = ComparedDesign const&;
    std::vector<ComparisonRow> rows;
    auto const add = [&](char const* name, std::string label, std::string unit, int better, Get const& get,
                         Show const& show) {
        rows.push_back(row_of(designs, name, std::move(label), std::move(unit), better, get, show));
    };
    add(
        "water_kept_fraction", "water kept", "%", 1, [](D d) { return d.figures.year.water_kept_fraction; },
        [](double v) { return fmt::format("{:.2f}", 100 * v); });
    add(
        "dry_hours", "dry hours", "h", -1, [](D d) { return d.figures.year.dry_hours; }, decimals(0));
    add(
        "longest_dry_h", "longest dry time", "h", -1, [](D d) { return d.figures.year.longest_dry_h; },
        decimals(0));
    add(
        "soc_min", "lowest bank level", "%", 1, [](D d) { return d.figures.year.soc_min; },
        [](double v) { return fmt::format("{:.0f}", 100 * v); });
    add(
        "generator_run_h", "generator", "h", -1, [](D d) { return d.figures.year.generator_run_h; },
        decimals(1));
    add(
        "generator_fuel_l", "fuel", units == Units::us ? "gal" : "L", -1,
        [](D d) { return d.figures.year.generator_fuel_l; },
        [units](double v) { return fmt::format("{:.1f}", units == Units::us ? v / m3_per_1000_gal : v); });
    add(
        "grid_kwh", "grid", "kWh", -1, [](D d) { return d.figures.year.grid_kwh; }, decimals(0));
    add(
        "starts_per_day", "pump starts a day", "", -1, [](D d) { return d.figures.starts_per_day; },
        decimals(1));
    add(
        "autonomy_days", "days on the bank alone", "d", 1, [](D d) { return d.figures.autonomy_days; },
        [](double v) { return std::isinf(v) ? std::string("> 60") : fmt::format("{:.1f}", v); });
    add(
        "poorest_run_wet", fmt::format("wet alone, poorest {} d", poorest_days), "%", 1,
        [](D d) { return d.figures.poorest_run_wet; },
        [](double v) { return fmt::format("{:.0f}", 100 * v); });
    if (!designs[0].cost) return rows;
    add(
        "purchase", "purchase", currency, -1, [](D d) { return d.cost->capital; }, decimals(0));
    add(
        "net_present_cost", fmt::format("cost over {:g} years", years), currency, -1,
        [](D d) { return d.cost->net_present_cost; }, decimals(0));
    bool const us = units == Units::us;
    add(
        "cost_per_m3", us ? "water, per 1000 gal" : "water, per m3", currency, -1,
        [](D d) { return d.cost_per_m3; },
        [us](double v) {
            return std::isinf(v) ? std::string("-") : fmt::format("{:.2f}", us ? v * m3_per_1000_gal : v);
        });
    return rows;
}

ComparisonRow const& row(Comparison const& c, std::string_view name) {
    return *std::find_if(c.rows.begin(), c.rows.end(), [&](auto const& r) { return r.name == name; });
}

// By what the choice is made, in order.
std::vector<std::string_view> deciding(bool priced) {
    if (priced) return {"dry_hours", "net_present_cost", "generator_run_h", "grid_kwh", "autonomy_days"};
    return {"dry_hours", "generator_run_h", "grid_kwh", "autonomy_days"};
}

bool same(ComparisonRow const& r, std::size_t a, std::size_t b) { return r.shown[a] == r.shown[b]; }

bool ahead(Comparison const& c, std::size_t a, std::size_t b) {
    for (auto const name : deciding(c.designs[0].cost.has_value())) {
        auto const& r = row(c, name);
        if (!same(r, a, b)) return r.better * r.values[a] > r.better * r.values[b];
    }
    return false;  // the earlier one stays
}

// "41.0 h less generator": what design a has over design b in a row; empty when it shows the same.
std::string difference(ComparisonRow const& r, std::size_t a, std::size_t b, Units units,
                       std::string const& currency) {
    if (same(r, a, b)) return "";
    double const d = r.values[a] - r.values[b];
    std::string const more = d > 0 ? "more" : "less";
    if (r.name == "dry_hours")
        return fmt::format("{:.0f} dry hours {}", std::abs(d), d > 0 ? "more" : "fewer");
    if (r.name == "generator_run_h") return fmt::format("{:.1f} h {} generator", std::abs(d), more);
    if (r.name == "grid_kwh") return fmt::format("{:.0f} kWh {} grid", std::abs(d), more);
    if (r.name == "generator_fuel_l")
        return fmt::format("{:.1f} {} {} fuel", std::abs(units == Units::us ? d / m3_per_1000_gal : d),
                           r.unit, more);
    if (r.name == "autonomy_days")
        return std::isinf(d) ? fmt::format("{} days on the bank alone against {}", r.shown[a], r.shown[b])
                             : fmt::format("{:.1f} days {} on the bank alone", std::abs(d), more);
    if (r.name == "net_present_cost")
        return fmt::format("{}{:.0f} {}", currency.empty() ? "" : currency + " ", std::abs(d),
                           d > 0 ? "dearer" : "cheaper");
    return "";
}

bool only_with_backup(ComparisonRow const& r) {
    return r.name == "generator_run_h" || r.name == "generator_fuel_l" || r.name == "grid_kwh";
}

std::string reason(Comparison const& c, std::size_t a, std::size_t b, Units units,
                   std::string const& currency) {
    std::string text;
    if (same(row(c, "dry_hours"), a, b)) text = fmt::format("same water as {}", c.designs[b].name);
    std::vector<std::string> parts;
    for (auto const name :
         {"dry_hours", "net_present_cost", "generator_run_h", "grid_kwh", "autonomy_days"}) {
        if (std::string_view(name) == "net_present_cost" && !c.designs[0].cost) continue;
        if (auto part = difference(row(c, name), a, b, units, currency); !part.empty())
            parts.push_back(std::move(part));
    }
    for (auto const& part : parts) text += (text.empty() ? "" : ", ") + part;
    if (parts.empty()) return text + ", and the same in all that decides";
    if (!same(row(c, "dry_hours"), a, b)) text += fmt::format(" than {}", c.designs[b].name);
    return text;
}

}  // namespace

std::optional<models::LifetimeCost> cost_of(std::optional<scenarios::Prices> const& prices,
                                            sim::Summary const& year) {
    if (!prices) return std::nullopt;
    auto const& p = *prices;
    models::CostInputs in;
    in.capital = p.purchase;
    in.yearly_upkeep = p.maintenance_per_year + p.generator_upkeep_per_hour * year.generator_run_h;
    in.yearly_energy = p.fuel_per_litre * year.generator_fuel_l + p.grid_per_kwh * year.grid_kwh;
    if (p.bank_replacement > 0) in.parts.push_back({p.bank_replacement, p.bank_life_y});
    in.rate = p.discount_rate;
    in.years = p.years;
    return models::lifetime_cost(in);
}

Comparison compare_designs(std::vector<scenarios::Design> const& designs,
                           std::vector<sim::DesignFigures> figures, int poorest_days, Units units) {
    Comparison c;
    std::string unpriced, currency;
    double years = 0;
    bool alike = true;
    for (std::size_t i = 0; i < designs.size(); ++i) {
        auto const& prices = designs[i].prices;
        if (!prices) {
            unpriced += (unpriced.empty() ? "" : ", ") + designs[i].name;
        } else if (designs[0].prices) {
            alike = alike && prices->currency == designs[0].prices->currency &&
                    prices->years == designs[0].prices->years &&
                    prices->discount_rate == designs[0].prices->discount_rate;
        }
        auto cost = cost_of(prices, figures[i].year);
        c.designs.push_back({designs[i].name, std::move(figures[i]), std::move(cost), 0});
    }
    if (unpriced.empty() && alike) {
        auto const& p = *designs[0].prices;
        currency = p.currency;
        years = p.years;
        c.cost_note = fmt::format(
            "Cost: net present cost over {:g} years at {:.4g} % a year; every year like this one.", p.years,
            100 * p.discount_rate);
        for (auto& d : c.designs)
            d.cost_per_m3 = models::cost_per_unit(*d.cost, d.figures.year.water_delivered_m3);
    } else {
        c.cost_note = unpriced.empty()
                          ? "Cost: not compared, the options differ in currency, years or discount rate."
                          : fmt::format("Cost: not compared, there is no table [prices] for {}.", unpriced);
        for (auto& d : c.designs) d.cost.reset();
    }
    c.rows = rows_of(c.designs, currency, years, poorest_days, units);
    c.order = c.designs[0].cost
                  ? "fewest dry hours, then lowest cost"
                  : "fewest dry hours, then least generator time, then least grid energy, then most days "
                    "without any sun";
    std::vector<std::size_t> ranked(c.designs.size());
    std::iota(ranked.begin(), ranked.end(), std::size_t{0});
    std::stable_sort(ranked.begin(), ranked.end(),
                     [&](std::size_t a, std::size_t b) { return ahead(c, a, b); });
    c.chosen = ranked[0];
    for (std::size_t i = 0; i < c.designs.size(); ++i)
        c.reasons.push_back(c.designs.size() == 1
                                ? std::string("nothing to compare with")
                                : reason(c, i, i == c.chosen ? ranked[1] : c.chosen, units, currency));
    return c;
}

std::string comparison_table(Comparison const& c) {
    std::string out = fmt::format("First: {} ({}).\n", c.designs[c.chosen].name, c.order);
    if (row(c, "dry_hours").values[c.chosen] > 0) out += "None of them keeps all the water.\n";
    out += "\n";
    std::size_t width = 10;
    for (auto const& d : c.designs) width = std::max(width, d.name.size());
    width += 2;
    out += fmt::format("  {:<28}{:<5}", "", "");
    for (auto const& d : c.designs) out += fmt::format("{:>{}} ", d.name, width);
    out += "\n";
    for (auto const& r : c.rows) {
        if (only_with_backup(r) &&
            std::all_of(r.values.begin(), r.values.end(), [](double v) { return v == 0; }))
            continue;
        out += fmt::format("  {:<28}{:<5}", r.label, r.unit);
        for (std::size_t i = 0; i < c.designs.size(); ++i)
            out += fmt::format("{:>{}}{}", r.shown[i], width, r.best[i] ? "*" : " ");
        out += "\n";
    }
    out += "\n  * best of its row\n\n";
    for (std::size_t i = 0; i < c.designs.size(); ++i)
        out += fmt::format("  {}: {}.\n", c.designs[i].name, c.reasons[i]);
    out += "\n" + c.cost_note + "\n";
    return out;
}

}  // namespace holdwater::tools
