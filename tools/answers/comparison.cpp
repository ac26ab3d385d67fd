#include "tools/answers/comparison.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <sstream>
#include <string_view>
#include <utility>

#include "models/numeric/trade_units.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/show/site_period_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

using Get = std::function<double(sim::ComparedDesign const&)>;
using Show = std::function<std::string(double)>;

// With this number of decimals, and commas between thousands.
std::string fixed_text(double v, int digits) {
    if (std::abs(v) >= 1000) return sim::figure_text(v, digits);
    return fmt::format("{:.{}f}", v, digits);
}
Show decimals(int digits) {
    return [digits](double v) { return std::isinf(v) ? std::string("-") : fixed_text(v, digits); };
}

// A value that rounds to the best figure counts as best too.
void mark_best(ComparisonRow& row, Show const& show) {
    auto const best = std::max_element(row.values.begin(), row.values.end(),
                                       [&](double a, double b) { return row.better * a < row.better * b; });
    std::string const best_text = show(*best);
    for (double const v : row.values) row.best.push_back(show(v) == best_text);
    if (std::all_of(row.best.begin(), row.best.end(), [](bool b) { return b; }))
        row.best.assign(row.values.size(), false);
}

ComparisonRow row_of(std::vector<sim::ComparedDesign> const& designs, std::string name, std::string label,
                     std::string unit, int better, Get const& get, Show const& show) {
    ComparisonRow row{std::move(name), std::move(label), std::move(unit), better, {}, {}, {}};
    for (auto const& d : designs) {
        row.values.push_back(get(d));
        row.shown.push_back(show(row.values.back()));
    }
    mark_best(row, show);
    return row;
}

// "46 of 50": the years that hold of each design.
ComparisonRow held_row(std::string name, std::string label, std::vector<sim::YearsVerdict> const& verdicts) {
    ComparisonRow row{std::move(name), std::move(label), "", 1, {}, {}, {}};
    for (auto const& v : verdicts) {
        row.values.push_back(v.held);
        row.shown.push_back(fmt::format("{} of {}", v.held, v.years));
    }
    mark_best(row, decimals(0));
    return row;
}

// "12-48" over the years; the bad end decides.
void add_ranges(std::vector<ComparisonRow>& rows, std::vector<sim::ComparedDesign> const& designs,
                std::string const& held) {
    for (auto const& r : ranged_figures()) {
        ComparisonRow row{r.name, r.label, r.unit, r.better, {}, {}, {}};
        for (auto const& d : designs) {
            auto const spread = sim::spread_over_years(d, r.value, r.better);
            auto const show = [&](double v) { return fixed_text(v * r.factor, r.digits); };
            row.values.push_back(spread.bad);
            row.shown.push_back(show(spread.low) + "-" + show(spread.high));
        }
        mark_best(row, [&](double v) { return fixed_text(v * r.factor, r.digits); });
        rows.push_back(std::move(row));
    }
    std::vector<sim::YearsVerdict> verdicts;
    verdicts.reserve(designs.size());
    for (auto const& d : designs) verdicts.push_back(*d.verdict);
    rows.insert(rows.begin(), held_row("years_held", held, verdicts));
}

// Below the counts of the made years, those of each set of recorded years.
void add_recorded(std::vector<ComparisonRow>& rows, sim::Draws const& draws,
                  std::vector<scenarios::Design> const& designs) {
    // There are no made years, and the recorded ones are ranked.
    if (draws.years.empty() || draws.years[0].empty()) return;
    std::size_t place = 1;
    for (auto const& set : draws.recorded) {
        if (set.years[0].empty()) continue;
        bool const one = set.source == sim::RecordedSet().source;
        std::vector<sim::YearsVerdict> verdicts;
        for (std::size_t i = 0; i < designs.size(); ++i)
            verdicts.push_back(sim::verdict_of(set.years[i], designs[i].scenario.years.required));
        rows.insert(
            rows.begin() + static_cast<std::ptrdiff_t>(place++),
            held_row(one ? "recorded_years_held" : fmt::format("recorded_{}_years_held", set.source),
                     one ? "  recorded years" : fmt::format("  recorded, {} light", set.source), verdicts));
    }
}

std::vector<ComparisonRow> rows_of(std::vector<sim::ComparedDesign> const& designs,
                                   std::string const& currency, double years, std::string const& held,
                                   Units units) {
    using D = sim::ComparedDesign const&;
    std::vector<ComparisonRow> rows;
    auto const add = [&](char const* name, std::string label, std::string unit, int better, Get const& get,
                         Show const& show) {
        rows.push_back(row_of(designs, name, std::move(label), std::move(unit), better, get, show));
    };
    add(
        "demand_met_fraction", "demand met", "%", 1, [](D d) { return d.figures.year.demand_met_fraction; },
        [](double v) { return sim::figure_text(100 * v, 2); });
    add(
        "shortage_hours", "hours short of water", "h", -1, [](D d) { return d.figures.year.shortage_hours; },
        decimals(0));
    add(
        "longest_shortage_h", "longest shortage", "h", -1,
        [](D d) { return d.figures.year.longest_shortage_h; }, decimals(0));
    add(
        "soc_min", "lowest SOC", "%", 1, [](D d) { return d.figures.year.soc_min; },
        [](double v) { return sim::figure_text(100 * v); });
    add(
        "generator_run_h", "generator", "h", -1, [](D d) { return d.figures.year.generator_run_h; },
        decimals(1));
    add(
        "generator_fuel_l", "fuel", shown(0, "L", units).unit, -1,
        [](D d) { return d.figures.year.generator_fuel_l; },
        [units](double v) { return sim::figure_text(shown(v, "L", units).value, 1); });
    add(
        "grid_kwh", "grid", "kWh", -1, [](D d) { return d.figures.year.grid_kwh; }, decimals(0));
    if (std::any_of(designs.begin(), designs.end(), [](D d) { return d.figures.year.grid_peak_kwh > 0; }))
        add(
            "grid_peak_kwh", "grid at the high price", "kWh", -1,
            [](D d) { return d.figures.year.grid_peak_kwh; }, decimals(0));
    add(
        "starts_per_day", "pump starts a day", "", -1, [](D d) { return d.figures.starts_per_day; },
        decimals(1));
    auto const days_shown = [](double v) { return lasting_text(v, sim::autonomy_looked_at_d); };
    add(
        "autonomy_days", "autonomy: water", "d", 1, [](D d) { return d.figures.autonomy.water.worst_d; },
        days_shown);
    add(
        "autonomy_power_days", "autonomy: power", "d", 1,
        [](D d) { return d.figures.autonomy.power.worst_d; }, days_shown);
    add(
        "site_period_water_worst_d", "site's cloudy period: water", "d", 1,
        [](D d) { return d.figures.site_period.water.worst_d; },
        [](double v) { return lasting_text(v, sim::site_period_d); });
    add(
        "site_period_held", "  start dates without a shortage", "%", 1,
        [](D d) { return d.figures.site_period.held; }, [](double v) { return sim::figure_text(100 * v); });
    auto const lives = [](D d) { return d.figures.findings.battery_life_y > 0; };
    if (std::any_of(designs.begin(), designs.end(), lives))
        add(
            "battery_life_y", "battery lasts", "years", 1,
            [&](D d) { return lives(d) ? d.figures.findings.battery_life_y : -infinity; }, decimals(1));
    if (!std::isnan(designs[0].figures.battery_needed_kwh)) {
        add(
            "battery_equivalent_cycles", "battery cycles a year", "", -1,
            [](D d) { return d.figures.year.battery_equivalent_cycles; }, decimals(0));
        add(
            "battery_needed_in_year_kwh", "battery needed for no shortfall", "kWh", -1,
            [](D d) { return d.figures.battery_needed_kwh; },
            [](double v) {
                return std::isinf(v) ? std::string("none is enough") : fmt::format("{:.1f}", v);
            });
    }
    if (!designs[0].years.empty()) add_ranges(rows, designs, held);
    if (!designs[0].cost) return rows;
    add(
        "purchase", "purchase", currency, -1, [](D d) { return d.cost->capital; }, decimals(0));
    add(
        "replacement_cost", "replacements less residual value", currency, -1,
        [](D d) { return d.cost->replacements - d.cost->salvage; }, decimals(0));
    add(
        "energy_cost", "fuel and grid", currency, -1, [](D d) { return d.cost->energy; }, decimals(0));
    add(
        "maintenance_cost", "maintenance", currency, -1, [](D d) { return d.cost->maintenance; },
        decimals(0));
    add(
        "life_cycle_cost", fmt::format("cost over {:g} years", years), currency, -1,
        [](D d) { return d.cost->life_cycle_cost; }, decimals(0));
    if (designs[0].cost_spread) {
        ComparisonRow row{"life_cycle_cost_high", "  10-90 % of the years", currency, -1, {}, {}, {}};
        for (auto const& d : designs) {
            row.values.push_back(d.cost_spread->high);
            row.shown.push_back(sim::figure_text(d.cost_spread->low) + "-" +
                                sim::figure_text(d.cost_spread->high));
        }
        mark_best(row, decimals(0));
        rows.push_back(std::move(row));
    }
    auto const per = shown(1, "m3", units);
    add(
        "cost_per_m3", "water, per 1,000 " + per.unit, currency, -1, [](D d) { return d.cost_per_m3; },
        [&](double v) {
            return std::isinf(v) ? std::string("-") : sim::figure_text(1e3 * v / per.value, 2);
        });
    return rows;
}

ComparisonRow const* find_row(Comparison const& c, std::string_view name) {
    auto const at = std::find_if(c.rows.begin(), c.rows.end(), [&](auto const& r) { return r.name == name; });
    return at == c.rows.end() ? nullptr : &*at;
}
ComparisonRow const& row(Comparison const& c, std::string_view name) { return *find_row(c, name); }

std::string_view row_name(sim::RankFigure figure) {
    constexpr std::array names{"years_held",      "shortage_hours_one_in_ten", "shortage_hours",
                               "life_cycle_cost", "generator_run_h",           "grid_kwh",
                               "autonomy_days"};
    return names.at(static_cast<std::size_t>(figure));
}

bool is_range(ComparisonRow const& r) { return r.name.ends_with("_one_in_ten"); }

// A range is compared by its bad end.
bool same(ComparisonRow const& r, std::size_t a, std::size_t b) {
    return is_range(r) ? std::round(r.values[a]) == std::round(r.values[b]) : r.shown[a] == r.shown[b];
}

// "41.0 h less generator": the advantage of design a over design b in a row; empty if both show the same.
std::string difference(ComparisonRow const& r, std::size_t a, std::size_t b, Units units,
                       std::string const& currency) {
    if (same(r, a, b)) return "";
    double const d = r.values[a] - r.values[b];
    std::string const more = d > 0 ? "more" : "less";
    if (r.name == "years_held")
        return fmt::format("{} {} {}", sim::figure_text(std::abs(d)), d > 0 ? "more" : "fewer", r.label);
    if (r.name == "shortage_hours")
        return fmt::format("{} h {} short of water", sim::figure_text(std::abs(d)), more);
    if (r.name == "shortage_hours_one_in_ten")
        return fmt::format("{} h {} short of water in a bad year", sim::figure_text(std::abs(d)), more);
    if (r.name == "battery_life_y")
        return std::isfinite(d) ? fmt::format("battery lasts {} years {}", sim::figure_text(std::abs(d), 1),
                                              d > 0 ? "longer" : "less long")
                                : "";
    if (r.name == "generator_run_h")
        return fmt::format("{} h {} generator", sim::figure_text(std::abs(d), 1), more);
    if (r.name == "grid_kwh") return fmt::format("{} kWh {} grid", sim::figure_text(std::abs(d)), more);
    if (r.name == "generator_fuel_l")
        return fmt::format("{} {} {} fuel", sim::figure_text(std::abs(shown(d, "L", units).value), 1), r.unit,
                           more);
    if (r.name == "autonomy_days")
        return std::isinf(d) ? fmt::format("{} days of autonomy against {}", r.shown[a], r.shown[b])
                             : fmt::format("{} days {} autonomy", sim::figure_text(std::abs(d), 1), more);
    if (r.name == "life_cycle_cost")
        return fmt::format("{}{} {}", currency.empty() ? "" : currency + " ", sim::figure_text(std::abs(d)),
                           more);
    return "";
}

bool only_with_backup(ComparisonRow const& r) {
    return r.name == "generator_run_h" || r.name == "generator_fuel_l" || r.name == "grid_kwh" ||
           r.name == "generator_run_one_in_ten" || r.name == "grid_one_in_ten";
}

std::string reason(Comparison const& c, std::size_t a, std::size_t b, Units units,
                   std::string const& currency) {
    std::string text;
    auto const* const held = find_row(c, "years_held");
    bool const same_water = same(row(c, "shortage_hours"), a, b) && (held == nullptr || same(*held, a, b));
    if (same_water) text = fmt::format("same water as \"{}\"", c.ranking.designs[b].name);
    std::vector<std::string> parts;
    std::vector<std::string_view> names;
    for (auto const figure : c.ranking.figures) names.push_back(row_name(figure));
    names.insert(names.end() - 1, "battery_life_y");
    for (auto const name : names) {
        auto const* const r = find_row(c, name);
        if (r == nullptr) continue;
        if (auto part = difference(*r, a, b, units, currency); !part.empty())
            parts.push_back(std::move(part));
    }
    for (auto const& part : parts) text += (text.empty() ? "" : ", ") + part;
    if (parts.empty()) return text + ", and the same in all that decides";
    if (!same_water) text += fmt::format(" than \"{}\"", c.ranking.designs[b].name);
    return text;
}

}  // namespace

std::vector<RangedFigure> ranged_figures() {
    using S = sim::Summary;
    return {{"demand_met_one_in_ten", "demand_met_fraction", "demand met, 10-90 %", "%",
             &S::demand_met_fraction, 1, 100, 2},
            {"shortage_hours_one_in_ten", "shortage_hours", "hours short of water, 10-90 %", "h",
             &S::shortage_hours, -1, 1, 0},
            {"generator_run_one_in_ten", "generator_run_h", "generator, 10-90 %", "h", &S::generator_run_h,
             -1, 1, 1},
            {"grid_one_in_ten", "grid_kwh", "grid, 10-90 %", "kWh", &S::grid_kwh, -1, 1, 0}};
}

sim::Table designs_table(Comparison const& c) {
    sim::Table table{"designs", {}};
    std::vector<std::string> names;
    for (auto const& d : c.ranking.designs) names.push_back(d.name);
    table.columns.push_back({"name", "", "name of the option", names});
    for (auto const& r : c.rows) {
        // Values and units here are in SI, whatever the units of the table on the screen are.
        std::string unit = r.unit;
        if (unit == "%") unit = "1";
        if (r.name == "generator_fuel_l") unit = "L";
        if (r.name == "cost_per_m3" && !unit.empty()) unit += "/m3";
        table.columns.push_back({r.name, unit, r.label, r.values});
    }
    table.columns.push_back({"reason", "", "why it stands where it stands", c.reasons});
    return table;
}

Comparison comparison_of(std::vector<scenarios::Design> const& designs, sim::DesignRanking ranking,
                         sim::Draws const& draws, Units units) {
    Comparison c;
    c.ranking = std::move(ranking);
    auto const& r = c.ranking;
    switch (r.costs) {
        case sim::CostsCompared::yes:
            c.cost_note = fmt::format("Cost: life-cycle cost over {:g} years at {:.4g} % a year; {}.",
                                      r.cost_years, 100 * r.discount_rate,
                                      r.designs[0].cost_spread
                                          ? fmt::format("the mean over the same {}, not the typical year",
                                                        winters_or_years(draws.winters, 2))
                                          : std::string("every year like the typical one"));
            break;
        case sim::CostsCompared::prices_missing:
            c.cost_note = fmt::format("Cost: not compared, there is no table [prices] for {}.",
                                      fmt::join(r.without_prices, ", "));
            break;
        case sim::CostsCompared::terms_differ:
            c.cost_note = "Cost: not compared, the options differ in currency, years or discount rate.";
            break;
    }
    bool const drawn = !r.designs[0].years.empty();
    std::string const held =
        winters_or_years(draws.winters, 2) + " " + held_label(designs[0].scenario.years.required);
    c.rows = rows_of(r.designs, r.currency, r.cost_years, held, units);
    add_recorded(c.rows, draws, designs);
    c.order = (drawn ? fmt::format("most {}, then fewest hours short of water in a bad year (1 in 10), then "
                                   "in the typical year",
                                   held)
                     : std::string("fewest hours short of water")) +
              (r.costs == sim::CostsCompared::yes
                   ? ", then lowest cost"
                   : ", then least generator time, then least grid energy, then longest autonomy (water)");
    if (drawn) {
        c.years_note = fmt::format(
            "10-90 %: eight of ten years are in this range; {}, the same for all.\n"
            "Different in each year: {}.\n"
            "{} and rows of 10-90 %: {}.{}",
            draws.weather.empty() ? draws.recorded.at(0).weather : draws.weather, draws.drawn,
            draws.winters ? "Winters" : "Years", judged_battery_words(designs[0].scenario.years),
            designs[0].scenario.years.required.judge_new
                ? ""
                : "\nOther rows of a year: the typical year, battery as it is now.");
        VerdictYears const of{draws.winters, draws.years[0].empty(), draws.start_month};
        auto const& first = r.order[0];
        c.verdict = verdict_lines(*r.designs[first].verdict, designs[first].scenario.years, of);
    }
    for (auto const& note : sim::notes_on(draws))
        c.years_note += (c.years_note.empty() ? "" : "\n") + note + ".";
    std::vector<sim::YearsVerdict> verdicts;
    for (auto const& d : r.designs)
        if (d.verdict) {
            c.dots.push_back(dots(*d.verdict));
            verdicts.push_back(*d.verdict);
        }
    c.dots_legend = dots_legend(verdicts);
    for (std::size_t i = 0; i < r.designs.size(); ++i)
        c.reasons.push_back(r.designs.size() == 1
                                ? std::string("nothing to compare with")
                                : reason(c, i, r.order[i == r.order[0] ? 1 : 0], units, r.currency));
    return c;
}

void add_other_age(Comparison& c, sim::Draws const& draws, std::vector<scenarios::Design> const& designs) {
    if (find_row(c, "years_held") == nullptr) return;
    auto const& years = sim::years_to_show(draws);
    bool const judge_new = designs[0].scenario.years.required.judge_new;
    std::vector<sim::YearsVerdict> verdicts;
    for (std::size_t i = 0; i < designs.size(); ++i)
        verdicts.push_back(sim::verdict_of(years.at(i), designs[i].scenario.years.required));
    c.rows.insert(
        c.rows.begin() + 1,
        held_row(judge_new ? "years_held_at_end_of_life" : "years_held_as_new",
                 judge_new ? "  battery at the end of its life" : "  battery as it is now", verdicts));
}

std::string comparison_table(Comparison const& c) {
    std::string out;
    if (c.verdict.empty())
        wrap(out, "First: ", first_of(c).name + ".", 100);
    else
        out += fmt::format("First: {}\n{}", first_of(c).name, c.verdict);
    wrap(out, "Order: ", c.order + ".", 100);
    if (row(c, "shortage_hours").values[c.ranking.order[0]] > 0)
        out += "None of them meets the whole demand of the typical year.\n";
    out += "\n";
    std::size_t width = 10;
    for (auto const& d : c.ranking.designs) width = std::max(width, d.name.size());
    width += 2;
    for (auto const& r : c.rows)  // with a space between two figures, also behind the mark of the best
        for (auto const& shown : r.shown) width = std::max(width, shown.size() + 1);
    out += fmt::format("  {:<33}{:<5}", "", "");
    for (auto const& d : c.ranking.designs) out += fmt::format("{:>{}} ", d.name, width);
    out += "\n";
    for (auto const& r : c.rows) {
        if (only_with_backup(r) &&
            std::all_of(r.values.begin(), r.values.end(), [](double v) { return v == 0; }))
            continue;
        out += fmt::format("  {:<33}{:<5}", r.label, r.unit);
        for (std::size_t i = 0; i < c.ranking.designs.size(); ++i)
            out += fmt::format("{:>{}}{}", r.shown[i], width, r.best[i] ? "*" : " ");
        out += "\n";
    }
    out += "\n  * best of its row\n\n";
    for (std::size_t i = 0; i < c.dots.size(); ++i) {
        std::string name = c.ranking.designs[i].name;
        for (std::size_t at = 0; at < c.dots[i].size(); name.clear()) {
            auto const end = std::min(c.dots[i].find('\n', at), c.dots[i].size());
            out += fmt::format("  {:<{}}  {}\n", name, width, c.dots[i].substr(at, end - at));
            at = end + 1;
        }
    }
    if (!c.dots.empty())
        wrap(out, fmt::format("  {:<{}}  ", "", width), "one mark a year: " + c.dots_legend, 100);
    if (!c.dots.empty()) out += "\n";
    for (std::size_t i = 0; i < c.ranking.designs.size(); ++i)
        wrap(out, "  ", fmt::format("{}: {}.", c.ranking.designs[i].name, c.reasons[i]), 100);
    out += "\n";
    out +=
        "Autonomy: days from sunset to the first shortage of water (power: until the inverter switches "
        "off),\n"
        "battery full, cistern and troughs where the typical year has them then, no sun, no backup,\n"
        "worst start date.\n";
    wrap(out, "",
         fmt::format("Cloudy period: {}, moved to every start date, no backup, worst start date.",
                     site_period_text(c.ranking.designs[0].figures.site_period.site)),
         100);
    std::istringstream notes(c.years_note);
    for (std::string note; std::getline(notes, note);) wrap(out, "", note, 100);
    wrap(out, "", c.cost_note, 100);
    return out;
}

}  // namespace holdwater::tools
