#include "sim/designs/size_map.hpp"

#include <algorithm>
#include <cstddef>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

// Enough to show a tenth of the years; a design that no lanes carry takes several times as long.
constexpr int most_years = 20, years_alone = 5;

SizeMap empty_map(scenarios::Scenario const& scenario) {
    SizeMap m;
    if (scenario.rules.backup == Backup::generator) m.figure = MapFigure::generator_run_h;
    if (scenario.rules.backup == Backup::grid) m.figure = MapFigure::grid_kwh;
    m.array_factor = m.battery_factor = {0.5, 0.75, 1, 1.5, 2, 3};
    m.judge_new = scenario.years.required.judge_new;
    m.cells.assign(m.battery_factor.size(), std::vector<SizeMapCell>(m.array_factor.size()));
    return m;
}

}  // namespace

SizeMap size_map(DrawnDesign const& design, DrawOptions const& options,
                 std::vector<DrawnYear> const& judged) {
    SizeMap m = empty_map(design.scenario);
    auto const alone =
        std::count_if(judged.begin(), judged.end(), [](DrawnYear const& y) { return !y.in_lanes; });
    DrawOptions draw = options;
    draw.recorded_fit_only = true;
    draw.begin_full = true;
    bool const slow = 2 * static_cast<std::size_t>(alone) > judged.size();
    draw.years = std::min(draw.years, slow ? years_alone : most_years);
    std::vector<DrawnDesign> designs;
    for (double const battery : m.battery_factor)
        for (double const array : m.array_factor)
            designs.push_back({as_judged(design.scenario), design.own_year, array, battery});
    auto const draws = draw_years(designs, draw);
    m.years = draw.years;
    for (std::size_t d = 0; d < designs.size(); ++d) {
        SizeMapCell& cell = m.cells[d / m.array_factor.size()][d % m.array_factor.size()];
        auto const verdict = verdict_of(draws.years[d], design.scenario.years.required);
        cell.held = verdict.held;
        for (auto const& year : draws.years[d])
            if (year.problem.empty()) cell.figure += map_value(year.summary, m.figure) / verdict.years;
    }
    return m;
}

SizeMap size_map(scenarios::Scenario const& scenario, CheckedInputs const& hourly) {
    SizeMap m = empty_map(scenario);
    m.judge_new = true;
    auto const system = make_system(scenario);
    for (std::size_t j = 0; j < m.battery_factor.size(); ++j)
        for (std::size_t i = 0; i < m.array_factor.size(); ++i) {
            auto const sized =
                with_array_factor(with_battery_factor(system, m.battery_factor[j]), m.array_factor[i]);
            auto const year = simulate(sized, hourly, Clock{}).summary;
            m.cells[j][i] = {year.shortage_hours <= scenario.years.required.hours_short_allowed ? 1 : 0,
                             map_value(year, m.figure)};
        }
    return m;
}

double map_value(Summary const& y, MapFigure figure) {
    if (figure == MapFigure::generator_run_h) return y.generator_run_h;
    return figure == MapFigure::grid_kwh ? y.grid_kwh : y.shortage_hours;
}

}  // namespace holdwater::sim
