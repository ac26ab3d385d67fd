#include "sim/design_figures.hpp"

#include <algorithm>

#include "sim/cloudy_spell_run.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"

namespace holdwater::sim {
namespace {
constexpr int longest_dark_days = 60;
}

DesignFigures figures_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         int poorest_days) {
    DesignFigures f;
    auto system = make_system(scenario);
    auto const poorest = make_spell_inputs(scenario, year, {SpellKind::poorest_of_year, 0, poorest_days});
    auto result = simulate(system, poorest.own, Clock{});
    f.year = result.summary;
    f.findings = result.findings;
    f.starts_per_day = f.year.pump_starts / 365;
    f.warnings = scenario.warnings;
    f.warnings.insert(f.warnings.end(), poorest.own.warnings.begin(), poorest.own.warnings.end());

    system = without_backup(system);
    system.start_soc = 1;
    auto const days = every_start_day();
    auto const run = run_spells(system, poorest, days, false);
    f.poorest_run_wet = run.survival.back();
    f.poorest_run_dry_h = run.starts[run.worst].first_dry_h;

    auto dark = make_spell_inputs(scenario, year, {SpellKind::clearness, 0, longest_dark_days});
    auto const without_sun = run_spells(system, dark, days, false);
    auto const least = std::min_element(
        without_sun.starts.begin(), without_sun.starts.end(),
        [](SpellStart const& a, SpellStart const& b) { return a.power_lost_h < b.power_lost_h; });
    f.autonomy_days = least->power_lost_h / 24;
    return f;
}

}  // namespace holdwater::sim
