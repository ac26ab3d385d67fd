#include "sim/designs/design_figures.hpp"

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
DesignFigures figures_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         int cloudy_period_days) {
    DesignFigures f;
    auto const system = make_system(scenario);
    auto const poorest = make_cloudy_period_inputs(
        scenario, year, {CloudyPeriodKind::worst_of_file, {}, 24 * cloudy_period_days});
    auto const result = simulate(system, poorest.own, Clock{});
    f.year = result.summary;
    f.findings = result.findings;
    f.starts_per_day = f.year.pump_starts / 365;
    f.warnings = scenario.warnings;
    f.warnings.insert(f.warnings.end(), poorest.own.warnings.begin(), poorest.own.warnings.end());

    auto levels = levels_of_year(system, result);
    auto const days = every_start_day();
    auto const run = run_cloudy_periods(without_backup(system), poorest, days, levels, false);
    f.cloudy_period_held = run.survival.back();
    f.cloudy_period_shortage_h = run.starts[run.worst].first_shortage_h;

    auto const dark = make_cloudy_period_inputs(scenario, year, {CloudyPeriodKind::clearness, {0}, 24});
    for (auto& level : levels) level.soc = 1;
    f.autonomy =
        autonomy_of(system, dark.dull[0], levels, sunset_hours(weather::sun_over_year(year.site)), days);
    return f;
}

}  // namespace holdwater::sim
