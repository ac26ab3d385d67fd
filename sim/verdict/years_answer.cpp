#include "sim/verdict/years_answer.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <memory>
#include <stdexcept>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>

#include "sim/base/job_pool.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {
namespace {

constexpr double nearly_all = 0.999;

// Figures of a run for which a range is useful: not balance errors.
std::vector<SummaryField> figures() {
    std::vector<SummaryField> fields;
    for (auto const& f : repeatable_fields())
        if (!f.name.ends_with("_residual_kwh") && !f.name.ends_with("_residual_m3")) fields.push_back(f);
    return fields;
}

// +1: more is better.
int better_of(std::string_view name) {
    static constexpr std::array<std::string_view, 8> more{
        "demand_met_fraction", "soc_min",     "soc_mean",      "shortest_run_s",
        "pv_available_kwh",    "pv_used_kwh", "ac_served_kwh", "water_delivered_m3"};
    return std::find(more.begin(), more.end(), name) != more.end() ? 1 : -1;
}

std::vector<double> over_years(YearsAnswer const& a, double Summary::*value) {
    std::vector<double> values;
    for (auto const& year : a.years)
        if (year.problem.empty()) values.push_back(year.summary.*value);
    return values;
}

// Over the made years, or over the years of one recorded set.
YearsAnswer answer_years(BatchYear as_written, Draws const& draws, RecordedDraws const* recorded = nullptr) {
    YearsAnswer a;
    a.as_written = std::move(as_written);
    a.years = recorded ? recorded->years.at(0) : draws.years.at(0);
    a.winters = draws.winters;
    a.weather = recorded ? recorded->weather : draws.weather;
    a.drawn = draws.drawn;
    a.notes = recorded ? recorded->notes : draws.notes;
    a.made = recorded == nullptr;
    a.wet = odds_of(a.years, without_shortage);
    a.nearly_wet =
        odds_of(a.years, [](DrawnYear const& y) { return y.summary.demand_met_fraction >= nearly_all; });
    return a;
}

Table rows_of(YearsAnswer const& a) {
    Table table{"years", {}};
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

void add_source(Table& table, std::string const& source, std::vector<int> const& calendar_years) {
    auto const rows = std::get<std::vector<double>>(table.columns.at(0).values).size();
    std::vector<double> years(rows, std::numeric_limits<double>::quiet_NaN());
    std::copy(calendar_years.begin(), calendar_years.end(), years.begin());
    table.columns.push_back({"source", "", "made, recorded, or the model of the light of recorded years",
                             std::vector<std::string>(rows, source)});
    table.columns.push_back({"calendar_year", "1", "of recorded years", std::move(years)});
}

void append_rows(Table& table, Table const& more) {
    for (std::size_t c = 0; c < table.columns.size(); ++c)
        std::visit(
            [&](auto& values) {
                auto const& other = std::get<std::decay_t<decltype(values)>>(more.columns.at(c).values);
                values.insert(values.end(), other.begin(), other.end());
            },
            table.columns[c].values);
}

}  // namespace

std::vector<SourcedYears> sourced_years(scenarios::Scenario const& scenario, weather::WeatherYear const& own,
                                        DrawOptions const& draw) {
    auto shared = draw;
    if (!shared.shelf) shared.shelf = std::make_shared<MadeShelf>();
    BatchYear as_written;
    {
        // Made years are fitted to the weather file while the file's own year runs.
        ThreadLimit const limit(draw.threads);
        for_each_job(draw.years > 0 ? 2 : 1, [&](std::size_t i) {
            if (i == 0)
                as_written = run_year(scenario, own);
            else
                shared.shelf->maker(own, shared);
        });
    }
    if (!as_written.problem.empty()) throw std::invalid_argument(as_written.problem);
    auto const draws = draw_years({{as_judged(scenario), &own}}, shared);
    std::vector<SourcedYears> answers;
    if (!draws.years.at(0).empty()) answers.push_back(made_answer(as_written, draws));
    for (auto const& set : draws.recorded) {
        answers.push_back({set.source, {}, answer_years(as_written, draws, &set)});
        answers.back().answer.own_is_recorded = draw.years == 0;
        for (auto const& year : set.years.at(0)) answers.back().year_numbers.push_back(year.number);
    }
    return answers;
}

SourcedYears made_answer(BatchYear as_written, Draws const& draws) {
    return {"made", {}, answer_years(std::move(as_written), draws)};
}

std::vector<FigureSpread> figure_spreads(YearsAnswer const& a) {
    std::vector<FigureSpread> spreads;
    for (auto const& f : figures())
        spreads.push_back({std::string(f.name), a.as_written.summary.*f.value,
                           spread_of(over_years(a, f.value), better_of(f.name))});
    return spreads;
}

Table table_of_years(std::vector<SourcedYears> const& answers) {
    auto table = rows_of(answers.at(0).answer);
    if (answers.size() == 1 && answers[0].answer.made) return table;
    add_source(table, answers[0].source, answers[0].year_numbers);
    for (std::size_t i = 1; i < answers.size(); ++i) {
        auto more = rows_of(answers[i].answer);
        add_source(more, answers[i].source, answers[i].year_numbers);
        append_rows(table, more);
    }
    return table;
}

}  // namespace holdwater::sim
