#include "sim/sweep/years_rows.hpp"

#include <fmt/format.h>

#include <memory>
#include <stdexcept>
#include <utility>

#include "sim/files/text_hash.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {
namespace {

// A figure of a year besides its summary.
constexpr RowField<DrawnYear> further_fields[] = {
    {"battery_life_y", "year", "years to a new battery at this year's use; 0: not known",
     [](DrawnYear const& y) { return y.findings.battery_life_y; },
     [](DrawnYear& y, double v) { y.findings.battery_life_y = v; }},
    {"start_soc", "1", "state of charge when the year begins, after the run-in",
     [](DrawnYear const& y) { return y.start_soc; }, [](DrawnYear& y, double v) { y.start_soc = v; }},
    {"end_soc", "1", "state of charge when the year ends", [](DrawnYear const& y) { return y.end_soc; },
     [](DrawnYear& y, double v) { y.end_soc = v; }},
    {"run_in_days", "day", "length of the run-in before the year",
     [](DrawnYear const& y) { return static_cast<double>(y.run_in_days); },
     [](DrawnYear& y, double v) { y.run_in_days = static_cast<int>(v); }},
    {"recovers", "1", "1: what is stored when the year begins does not depend on how the run-in was begun",
     [](DrawnYear const& y) { return y.recovers ? 1.0 : 0.0; },
     [](DrawnYear& y, double v) { y.recovers = v == 1; }}};

}  // namespace

std::vector<SweepFigure> years_figures() {
    std::vector<SweepFigure> figures{{"made_year", "1", "number of the made year, from 1"}};
    for (auto const& f : repeatable_fields())
        figures.push_back({std::string(f.name), std::string(f.unit), std::string(f.long_name)});
    for (auto const& f : further_fields) figures.push_back({f.name, f.unit, f.long_name});
    return figures;
}

YearsRows::YearsRows(scenarios::Scenario const& scenario, weather::WeatherYear const& own, DrawOptions draw)
    : scenario_(scenario), own_(own), draw_(std::move(draw)), as_written_(run_year(scenario, own)) {
    if (!as_written_.problem.empty()) throw std::invalid_argument(as_written_.problem);
    if (!draw_.shelf) draw_.shelf = std::make_shared<MadeShelf>();
    auto first = draw_;
    first.years = 1;
    first.progress = nullptr;
    common_ = run_made_years({{as_judged(scenario_), &own_}}, first);
    common_.years = {{}};
    draw_.start_month = common_.start_month;
}

void YearsRows::run(SweepBlock& block) const {
    auto draw = draw_;
    draw.first = static_cast<int>(block.first) + 1;
    draw.years = static_cast<int>(block.size());
    draw.progress = nullptr;
    auto const draws = run_made_years({{as_judged(scenario_), &own_}}, draw);
    stop_if_asked(draw.stop);  // then some of the years are missing
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto const& year = draws.years[0].at(i);
        double* figure = block.figures_of(i);
        *figure++ = year.number;
        block.problems[i] = year.problem;
        if (!year.problem.empty()) continue;
        for (auto const& f : repeatable_fields()) *figure++ = year.summary.*f.value;
        for (auto const& f : further_fields) *figure++ = f.get(year);
    }
}

std::vector<DrawnYear> years_of(SweepBlock const& block) {
    std::vector<DrawnYear> years(block.size());
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto& year = years[i];
        double const* figure = block.figures_of(i);
        year.number = static_cast<int>(*figure++);
        year.problem = block.problems[i];
        if (!year.problem.empty()) continue;
        for (auto const& f : repeatable_fields()) year.summary.*f.value = *figure++;
        for (auto const& f : further_fields) f.set(year, *figure++);
    }
    return years;
}

SourcedYears YearsRows::answer(std::vector<DrawnYear> years) const {
    auto draws = common_;
    draws.years = {std::move(years)};
    tell_years(draws, draw_);
    return made_answer(as_written_, draws);
}

std::string YearsRows::inputs_hash() const {
    std::string all = scenario_.text + bytes_of(own_);
    if (auto const& series = scenario_.demand.series) all += numbers_text(series->hourly_m3);
    return text_hash(all);
}

std::string numbers_text(std::vector<double> const& values) {
    std::string text;
    for (double const value : values) text += fmt::format("{} ", value);
    return text;
}

std::string bytes_of(weather::WeatherYear const& year) {
    auto const& s = year.site;
    std::string all =
        fmt::format("{} {} {} {} ", s.latitude_deg, s.longitude_deg, s.elevation_m, s.utc_offset_h);
    for (auto const* series :
         {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2, &year.temperature_c, &year.wind_m_s, &year.albedo})
        all += numbers_text(*series) + '\n';
    for (int const calendar_year : year.file_year) all += fmt::format("{} ", calendar_year);
    return all;
}

}  // namespace holdwater::sim
