#include "sim/designs/design_figures.hpp"

#include <algorithm>
#include <cstddef>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/stop.hpp"
#include "sim/check/hand_calculation.hpp"
#include "sim/designs/battery_needed.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/site_cloudy_period.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {

SupplyIndices indices_of(scenarios::Scenario const& scenario, CheckedInputs const& hourly) {
    auto const day = day_by_hand(scenario);
    auto const run = simulate(without_backup(make_system(scenario)), hourly, Clock{});
    return supply_indices(run, day.usable_kwh, kwh_per_m3_by_hand(day), days_by_hand(day, day.usable_kwh));
}

DesignFigures figures_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                         SiteCloudyPeriod const& site, bool battery_needed) {
    DesignFigures f;
    auto const system = make_system(scenario);
    auto const cloudy = make_cloudy_period_inputs(scenario, year, weather_of(site));
    CheckedInputs const own(cloudy.own);
    auto const result = simulate(system, own, Clock{});
    f.year = result.summary;
    f.findings = result.findings;
    f.starts_per_day = f.year.pump_starts / 365;
    if (battery_needed) f.battery_needed_kwh = battery_needed_kwh(system, own);
    f.warnings = scenario.warnings;
    f.warnings.insert(f.warnings.end(), cloudy.own.warnings.begin(), cloudy.own.warnings.end());

    auto levels = levels_of_year(system, result);
    auto const days = every_start_day();
    f.site_period = site_period_of(
        site, run_cloudy_periods(without_backup(system), cloudy, days, levels, FollowUntil::both_lost), days);

    auto const dark = make_cloudy_period_inputs(scenario, year, {CloudyPeriodKind::clearness, {0}, 24});
    for (auto& level : levels) level.soc = 1;
    f.autonomy =
        autonomy_of(system, dark.cloudy[0], levels, sunset_hours(weather::sun_over_year(year.site)), days);
    return f;
}

std::vector<DesignFigures> figures_to_compare(std::vector<DrawnDesign> const& designs,
                                              DrawOptions const& years, TellShare const& progress) {
    std::vector<DesignFigures> figures;
    try {
        auto const sites = site_cloudy_periods(designs, years);
        bool const battery_needed = std::any_of(designs.begin(), designs.end(),
                                                [](auto const& d) { return spares_battery(d.scenario); });
        figures.reserve(designs.size());
        for (std::size_t i = 0; i < designs.size(); ++i) {
            stop_if_asked(years.stop);
            figures.push_back(
                figures_of(designs[i].scenario, *designs[i].own_year, sites[i], battery_needed));
            tell_share(progress, static_cast<double>(i + 1) / static_cast<double>(designs.size()));
        }
    } catch (StudyStopped const&) {  // the figures so far
    }
    return figures;
}

}  // namespace holdwater::sim
