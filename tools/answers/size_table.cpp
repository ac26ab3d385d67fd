#include "tools/answers/size_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "sim/base/figure_text.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

using scenarios::SearchLeast;
using sim::SizeAnswer, sim::SizeRun, sim::Combination;

std::string money(SizeAnswer const& a, double sum) {
    return fmt::format("{}{}", a.currency.empty() ? "" : a.currency + " ", sim::figure_text(sum));
}

// The objective of one run.
std::optional<double> price(SizeAnswer const& a, SizeRun const& r) {
    if (a.least == SearchLeast::purchase) return r.figures.purchase;
    return r.figures.cost;
}

std::string price_name(SizeAnswer const& a) {
    return a.least == SearchLeast::purchase ? "purchase" : fmt::format("cost over {:g} years", a.years);
}

// What is not priced cannot be called the cheapest.
std::string cheapest_word(SizeAnswer const& a) {
    return least_word(a.least) + (a.partly_priced ? " (as far as prices are given)" : "");
}

std::string first_line(SizeAnswer const& a) {
    std::string const required = a.requirements.size() == 1
                                     ? "the requirement"
                                     : fmt::format("all {} requirements", a.requirements.size());
    if (!a.choice)
        return fmt::format("Choice: none. Of {} combinations none meets {}.", a.combinations, required);
    auto const p = price(a, a.runs.at(*a.choice));
    auto const& figures = a.runs.at(*a.choice).figures;
    std::string out;
    wrap(out, "Choice: ",
         fmt::format("{}{}", sim::name_of(a, *a.choice),
                     p ? fmt::format(", {} {}", price_name(a), money(a, *p)) : ""),
         100);
    if (a.least == SearchLeast::cost && figures.cost_spread)
        out += fmt::format("  in eight of ten {} between {} and {}\n", winters_or_years(a.winters, 2),
                           money(a, figures.cost_spread->low), money(a, figures.cost_spread->high));
    out += fmt::format("  the {} of {} combinations to meet {}", cheapest_word(a), a.combinations, required);
    return out;
}

// Over the years of the choice.
std::string choice_verdict(SizeAnswer const& a) {
    if (!a.choice || !a.runs.at(*a.choice).figures.years) return "";
    return verdict_lines(*a.runs.at(*a.choice).figures.years, a.settings_of_years,
                         {a.winters, a.chosen_on_recorded, a.start_month}) +
           "\n";
}

std::string how_it_was_found(SizeAnswer const& a) {
    std::size_t refused = 0;
    std::string why;
    for (auto const& [c, run] : a.runs)
        if (!run.problem.empty() && refused++ == 0)
            why = fmt::format("{}: {}", sim::name_of(a, c), run.problem);
    std::string out = a.runs.size() == a.combinations
                          ? fmt::format("  all {} were run", a.combinations)
                          : fmt::format("  {} of {} were run", a.runs.size(), a.combinations);
    if (a.runs.size() < a.combinations) {
        std::string axes;
        for (auto const& axis : a.settings.axes)
            if (axis.more_never_hurts) axes += (axes.empty() ? "" : ", ") + axis.name;
        if (a.contradiction)
            out += "; only what cannot be better for its price or size was left out";
        else if (axes.empty())
            out += "; the others cannot be better for their price or size";
        else
            out += fmt::format(
                "; the others cannot be better for their price or size, or have no more than\n  one that "
                "fails, taking it that more never hurts with: {}. Neighbors and pairs of runs agree",
                axes);
    }
    out += ".\n";
    if (refused > 0) out += fmt::format("  {} cannot be built, such as {}\n", refused, why);
    if (a.contradiction) {
        auto const& c = *a.contradiction;
        auto const found = [&](Combination const& which) {
            return a.runs.at(which).verdicts[c.requirement].found;
        };
        out +=
            fmt::format("  More does hurt here: {} has {} {},\n  {} has {}; nothing was left out for that.\n",
                        sim::name_of(a, c.less), a.requirements[c.requirement].label, found(c.less),
                        sim::name_of(a, c.more), found(c.more));
    }
    return out;
}

std::string in_units(sim::RequirementVerdict const& v, std::string const& text, double value, Units units) {
    if (units == Units::metric || v.key != "fuel") return text;
    return text.starts_with("at most") ? fmt::format("at most {:.4g} gal", shown(value, "L", units).value)
                                       : show_fuel(value, units);
}

// Of the typical year; the others are over many years, or not of a year at all.
bool of_typical_year(sim::RequirementVerdict const& v) {
    static constexpr std::array keys{"demand_met", "shortage_hours", "longest_shortage",   "generator_run_h",
                                     "fuel",       "grid_energy",    "starts_within_limit"};
    return std::find(keys.begin(), keys.end(), v.key) != keys.end();
}

std::string requirements_text(SizeAnswer const& a, SizeRun const& run, Units units) {
    std::string out = fmt::format("  {:<29}{:<26}{:<26}{}\n", "", "required", "found", "");
    for (auto const& v : run.verdicts)
        out += fmt::format("  {:<29}{:<26}{:<26}{}\n", v.label + (of_typical_year(v) ? " *" : ""),
                           in_units(v, v.wanted, v.limit, units), in_units(v, v.found, v.value, units),
                           v.holds       ? "holds"
                           : v.looked_at ? "MISSED"
                                         : "-");
    if (a.years_of_choice > 0 && std::any_of(run.verdicts.begin(), run.verdicts.end(), of_typical_year))
        out += "  * in the typical year\n";
    return out;
}

std::string what_decides(SizeAnswer const& a) {
    std::string out = "What decides\n", idle;
    for (auto const& d : a.dropped) {
        auto const& label = a.requirements[d.requirement].label;
        if (!d.would_do) {
            idle += (idle.empty() ? "" : ", ") + label;
            continue;
        }
        auto const& run = a.runs.at(*d.would_do);
        std::string saved;
        auto const here = a.choice ? price(a, a.runs.at(*a.choice)) : std::nullopt;
        auto const there = price(a, run);
        if (there && a.least != SearchLeast::size)
            saved = here ? fmt::format(", {} less", money(a, *here - *there))
                         : fmt::format(", {} {}", price_name(a), money(a, *there));
        wrap(out, "  ",
             fmt::format("{} ({}): without it {} would be enough{}", label,
                         run.verdicts[d.requirement].wanted, sim::name_of(a, *d.would_do), saved),
             100);
    }
    if (!idle.empty())
        wrap(out, "  ",
             fmt::format("{}: {}",
                         a.choice ? "makes no difference to the choice" : "leaving it out does not help",
                         idle),
             100);
    return out;
}

std::string one_less(SizeAnswer const& a) {
    std::string out = "One step less\n";
    for (auto const& step : a.one_less) {
        auto const& axis = a.settings.axes[step.axis];
        auto const& run = a.runs.at(step.combination);
        std::string what = !run.problem.empty() ? "cannot be built: " + run.problem : misses(run);
        if (what.empty()) {
            auto const p = price(a, run), here = price(a, a.runs.at(*a.choice));
            what = p && here && a.least != SearchLeast::size
                       ? fmt::format("meets all, {} more", money(a, *p - *here))
                       : "meets all";
        } else if (run.problem.empty()) {
            what = "misses " + what;
        }
        wrap(out, "  ", fmt::format("{} {}: {}", axis.name, axis.labels[step.combination[step.axis]], what),
             100);
    }
    return a.one_less.empty() ? "" : out + "\n";
}

std::string confirmation(sim::YearsVerdict const& v) {
    return v.met ? "YES, the choice is confirmed"
                 : "NO, the choice does not meet the requirement there; take the next larger one, or choose "
                   "over more years (--years 200)";
}

std::string frontier_text(SizeAnswer const& a) {
    bool const priced = a.least != SearchLeast::size;
    std::string out =
        fmt::format("{} against demand met in the typical year: no other {} {} and meets more\n",
                    priced ? (a.least == SearchLeast::cost ? "Cost" : "Purchase") : "Size",
                    a.all_run ? "combination" : "run", priced ? "costs less" : "is smaller");
    out += fmt::format("  {:>9}  {:>10}  {:>9}  {:>9}\n", priced ? a.currency : "", "demand met", "short",
                       "generator");
    for (auto const& c : a.frontier) {
        auto const& run = a.runs.at(c);
        auto const p = price(a, run);
        std::string line;
        wrap(line,
             fmt::format("{} {:>9}  {:>8} %  {:>7} h  {:>7} h  ", a.choice == c ? "*" : " ",
                         priced ? sim::figure_text(*p) : "",
                         sim::figure_text(100 * run.figures.year.demand_met_fraction, 2),
                         sim::figure_text(run.figures.year.shortage_hours),
                         sim::figure_text(run.figures.year.generator_run_h, 1)),
             sim::name_of(a, c) + (run.meets_all ? "" : "; misses some"), 100);
        out += line;
    }
    return out;
}

}  // namespace

std::string least_word(SearchLeast least) {
    switch (least) {
        case SearchLeast::cost:
            return "cheapest";
        case SearchLeast::purchase:
            return "cheapest to buy";
        case SearchLeast::size:
            return "smallest";
    }
    return "";
}

std::string misses(SizeRun const& run) {
    std::string out;
    for (auto const& v : run.verdicts)
        if (!v.holds && v.looked_at)
            out += fmt::format("{}{} {} ({})", out.empty() ? "" : ", ", v.label, v.found, v.wanted);
    return out;
}

std::string size_table(SizeAnswer const& a, Units units) {
    std::string out = first_line(a) + "\n" + how_it_was_found(a) + "\n" + choice_verdict(a);
    auto const listed = a.choice ? a.choice : a.nearest;
    if (!a.choice && listed) out += fmt::format("Nearest: {}\n", sim::name_of(a, *listed));
    if (listed) out += requirements_text(a, a.runs.at(*listed), units) + "\n";
    if (a.confirmed)
        wrap(out, "",
             fmt::format("On {} other made {}: {}.", a.confirmed->years, winters_or_years(a.winters, 2),
                         confirmation(*a.confirmed)),
             100);
    if (a.confirmed)
        out += fmt::format("  {}; required: {}.\n",
                           held_words(*a.confirmed, a.winters, a.settings_of_years.required),
                           required_words(a.settings_of_years.required, *a.confirmed, a.winters));
    for (auto const& [source, v, years] : a.recorded)
        wrap(out, "",
             fmt::format("Recorded{}: {}; required: {}.", sim::light_words(source),
                         held_words(v, a.winters, a.settings_of_years.required),
                         required_words(a.settings_of_years.required, v, a.winters)),
             100);
    if (!a.weather.empty()) out += years_run_lines(a.weather, a.drawn, a.notes_on_years);
    if (a.confirmed || !a.recorded.empty() || !a.weather.empty()) out += "\n";
    out += what_decides(a) + "\n" + one_less(a) + frontier_text(a);
    if (a.least == SearchLeast::size)
        out += "\nSmallest: the first value of each list is the smallest; the first list counts most.\n";
    if (a.least == SearchLeast::cost)
        out += a.years_of_choice > 0
                   ? "\nCost: life-cycle cost; fuel, grid and generator wear are the mean of the years.\n"
                   : "\nCost: life-cycle cost; every year like this one.\n";
    if (!a.notes.empty()) out += "\n";
    for (auto const& note : a.notes) wrap(out, "  * ", note, 100);
    return out;
}

std::vector<sim::Table> size_tables(SizeAnswer const& a) {
    auto const table_of = [&](char const* name, std::vector<Combination> const& combinations) {
        sim::Table table{name, {}};
        auto const texts = [&](std::string column, char const* long_name, auto const& get) {
            std::vector<std::string> values;
            values.reserve(combinations.size());
            for (auto const& c : combinations) values.push_back(get(c, a.runs.at(c)));
            table.columns.push_back({std::move(column), "", long_name, std::move(values)});
        };
        auto const numbers = [&](std::string column, std::string unit, char const* long_name,
                                 auto const& get) {
            std::vector<double> values;
            values.reserve(combinations.size());
            for (auto const& c : combinations) {
                auto const& run = a.runs.at(c);
                values.push_back(run.problem.empty() ? get(run) : std::numeric_limits<double>::quiet_NaN());
            }
            table.columns.push_back({std::move(column), std::move(unit), long_name, std::move(values)});
        };
        using R = SizeRun const&;
        for (std::size_t i = 0; i < a.settings.axes.size(); ++i)
            texts(a.settings.axes[i].name, "value taken",
                  [&](Combination const& c, R) { return a.settings.axes[i].labels[c[i]]; });
        numbers("meets_all", "1", "1: everything required holds",
                [](R r) { return r.meets_all ? 1.0 : 0.0; });
        if (!a.currency.empty() || a.years > 0) {
            numbers("purchase", a.currency, "purchase", [](R r) { return *r.figures.purchase; });
            numbers("life_cycle_cost", a.currency, "life-cycle cost", [](R r) { return *r.figures.cost; });
        }
        for (auto const& f : sim::repeatable_fields())
            numbers(std::string(f.name), std::string(f.unit), f.long_name.data(),
                    [&](R r) { return r.figures.year.*f.value; });
        if (a.settings.require.cloudy_days)
            numbers("cloudy_days", "day", "longest cloudy period held, up to what is required", [](R r) {
                return r.figures.cloudy_days ? static_cast<double>(*r.figures.cloudy_days)
                                             : std::numeric_limits<double>::quiet_NaN();
            });
        texts("misses", "what is required and does not hold",
              [](Combination const&, R r) { return misses(r); });
        texts("problem", "why it cannot be built", [](Combination const&, R r) { return r.problem; });
        return table;
    };
    std::vector<Combination> all;
    for (auto const& [c, run] : a.runs) all.push_back(c);
    return {table_of("combinations", all), table_of("frontier", a.frontier)};
}

}  // namespace holdwater::tools
