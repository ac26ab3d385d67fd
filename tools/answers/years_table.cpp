#include "tools/answers/years_table.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <limits>
#include <stdexcept>
#include <type_traits>
#include <variant>

#include "models/numeric/trade_units.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr double nearly_all = 0.999;

struct Line {
    std::string_view name, label;
    int better{};
    double factor{};
    int decimals{};
    char const* unit{};
};

std::vector<Line> lines_of(Units units) {
    bool const us = units == Units::us;
    return {{"demand_met_fraction", "demand met", 1, 100, 2, "%"},
            {"shortage_hours", "hours short of water", -1, 1, 0, "h"},
            {"longest_shortage_h", "longest shortage", -1, 1, 0, "h"},
            {"soc_min", "lowest SOC", 1, 100, 0, "%"},
            {"generator_run_h", "generator", -1, 1, 1, "h"},
            {"generator_fuel_l", "fuel", -1, us ? 1 / (1e3 * models::m3_per_gal) : 1, 1, us ? "gal" : "L"},
            {"grid_kwh", "grid", -1, 1, 0, "kWh"},
            {"pump_starts", "pump starts", -1, 1, 0, ""},
            {"pv_available_kwh", "PV available", 1, 1, 0, "kWh"},
            {"load_unserved_kwh", "small loads not served", -1, 1, 1, "kWh"}};
}

// Figures of a run for which a range is useful; not computing time and balance errors.
std::vector<sim::SummaryField> figures() {
    std::vector<sim::SummaryField> fields;
    for (auto const& f : sim::summary_fields())
        if (f.name != "wall_time_s" && !f.name.ends_with("_residual_kwh") &&
            !f.name.ends_with("_residual_m3"))
            fields.push_back(f);
    return fields;
}

int better_of(std::string_view name) {
    for (auto const& line : lines_of(Units::metric))
        if (line.name == name) return line.better;
    return name == "water_delivered_m3" ? 1 : -1;
}

std::vector<double> over_years(YearsAnswer const& a, double sim::Summary::*value) {
    std::vector<double> values;
    for (auto const& year : a.years)
        if (year.problem.empty()) values.push_back(year.summary.*value);
    return values;
}

}  // namespace

std::function<void(int, int)> years_progress() {
    if (::isatty(STDERR_FILENO) == 0) return {};
    return [](int done, int all) {
        fmt::print(stderr, "\r{} of {} years{}", done, all, done == all ? "\n" : "");
        std::fflush(stderr);
    };
}

YearsAnswer answer_years(sim::BatchYear as_written, sim::Draws const& draws,
                         sim::RecordedDraws const* recorded) {
    YearsAnswer a;
    a.as_written = std::move(as_written);
    a.years = recorded ? recorded->years.at(0) : draws.years.at(0);
    a.winters = draws.winters;
    a.weather = recorded ? recorded->weather : draws.weather;
    a.drawn = draws.drawn;
    a.notes = recorded ? recorded->notes : draws.notes;
    a.made = recorded == nullptr;
    a.wet = sim::odds_of(a.years, sim::without_shortage);
    a.nearly_wet = sim::odds_of(
        a.years, [](sim::DrawnYear const& y) { return y.summary.demand_met_fraction >= nearly_all; });
    return a;
}

std::vector<FigureSpread> figure_spreads(YearsAnswer const& a) {
    std::vector<FigureSpread> spreads;
    for (auto const& f : figures())
        spreads.push_back({std::string(f.name), a.as_written.summary.*f.value,
                           sim::spread_of(over_years(a, f.value), better_of(f.name))});
    return spreads;
}

std::string words(sim::Odds const& o) {
    return fmt::format("{} of {} years, {} % ({} to {} %)", o.times, o.years,
                       sim::figure_text(100 * o.share.center), sim::figure_text(100 * o.share.low),
                       sim::figure_text(100 * o.share.high));
}

std::vector<SourcedYears> sourced_years(scenarios::Scenario const& scenario, weather::WeatherYear const& own,
                                        sim::DrawOptions const& draw) {
    auto const as_written = sim::run_year(scenario, own);
    if (!as_written.problem.empty()) throw std::invalid_argument(as_written.problem);
    auto const draws = sim::draw_years({{sim::as_judged(scenario), &own}}, draw);
    std::vector<SourcedYears> answers;
    if (!draws.years.at(0).empty()) answers.push_back({"made", {}, answer_years(as_written, draws)});
    for (auto const& set : draws.recorded) {
        answers.push_back({set.source, {}, answer_years(as_written, draws, &set)});
        answers.back().answer.own_is_recorded = draw.years == 0;
        for (auto const& year : set.years.at(0)) answers.back().year_numbers.push_back(year.number);
    }
    return answers;
}

std::string years_table(scenarios::Scenario const& scenario, YearsAnswer const& a, Units units) {
    std::string out = fmt::format("{}\n{}\n{}; different in each year: {}\n\n", scenario.title,
                                  scenario.place, a.weather, a.drawn);
    wrap(out, "How sure is it?  ",
         fmt::format("The whole demand was met in {}, {}.", words(a.wet),
                     judged_battery_words(scenario.years)),
         100);
    out += "\n";
    out += fmt::format("  {:<24}{:<4}{:>14}{:>10}{:>20}{:>10}{:>10}\n", "", "",
                       a.own_is_recorded ? "first year" : "typical year", "median", "10 to 90 %", "1 in 10",
                       "worst");
    auto const spreads = figure_spreads(a);
    for (auto const& line : lines_of(units)) {
        auto const& s = *std::find_if(spreads.begin(), spreads.end(),
                                      [&](auto const& one) { return one.name == line.name; });
        bool const nothing = s.as_written == 0 && s.spread.low == 0 && s.spread.high == 0 &&
                             s.spread.worst == 0 && s.name != "shortage_hours" &&
                             s.name != "longest_shortage_h";
        if (nothing) continue;
        auto const show = [&](double v) { return sim::figure_text(v * line.factor, line.decimals); };
        out += fmt::format("  {:<24}{:<4}{:>14}{:>10}{:>20}{:>10}{:>10}\n", line.label, line.unit,
                           show(s.as_written), show(s.spread.median),
                           show(s.spread.low) + " to " + show(s.spread.high), show(s.spread.bad),
                           show(s.spread.worst));
    }
    out += fmt::format("\n  whole demand met        {}\n  99.9 % of it or more    {}\n", words(a.wet),
                       words(a.nearly_wet));
    out +=
        "\n  10 to 90 %: eight of ten years are in this range. 1 in 10: one year of ten is as bad or worse.\n"
        "  Shares of years with their 90 % interval (Clopper-Pearson).\n";
    if (a.made)
        out +=
            "  Made years have the file's months on average and the spread that records of seven climates "
            "show.\n"
            "  Recorded years of the site are better: give them with --weather.\n";
    for (auto const& note : a.notes) wrap(out, "  ", note + ".", 100);
    return out;
}

sim::Table years_table(YearsAnswer const& a) {
    sim::Table table{"years", {}};
    std::vector<double> number, life;
    std::vector<std::string> problems;
    for (std::size_t i = 0; i < a.years.size(); ++i) {
        number.push_back(a.years[i].number);
        life.push_back(a.years[i].findings.battery_life_y);
        problems.push_back(a.years[i].problem);
    }
    table.columns.push_back({"year", "1", "made year, from 1; recorded: the calendar year in which it begins",
                             std::move(number)});
    for (auto const& f : figures()) {
        std::vector<double> values;
        for (auto const& year : a.years)
            values.push_back(year.problem.empty() ? year.summary.*f.value
                                                  : std::numeric_limits<double>::quiet_NaN());
        table.columns.push_back(
            {std::string(f.name), std::string(f.unit), std::string(f.long_name), std::move(values)});
    }
    table.columns.push_back({"battery_life_y", "year",
                             "years to a new battery at this year's use; 0: not known", std::move(life)});
    table.columns.push_back({"problem", "", "why the year could not be run", std::move(problems)});
    return table;
}

void add_source(sim::Table& table, std::string const& source, std::vector<int> const& calendar_years) {
    auto const rows = std::get<std::vector<double>>(table.columns.at(0).values).size();
    std::vector<double> years(rows, std::numeric_limits<double>::quiet_NaN());
    std::copy(calendar_years.begin(), calendar_years.end(), years.begin());
    table.columns.push_back({"source", "", "made, recorded, or the model of the light of recorded years",
                             std::vector<std::string>(rows, source)});
    table.columns.push_back({"calendar_year", "1", "of recorded years", std::move(years)});
}

void append_rows(sim::Table& table, sim::Table const& more) {
    for (std::size_t c = 0; c < table.columns.size(); ++c)
        std::visit(
            [&](auto& values) {
                auto const& other = std::get<std::decay_t<decltype(values)>>(more.columns.at(c).values);
                values.insert(values.end(), other.begin(), other.end());
            },
            table.columns[c].values);
}

}  // namespace holdwater::tools
