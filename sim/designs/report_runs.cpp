#include "sim/designs/report_runs.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <memory>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/search_settings.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/site_cloudy_period.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

// At most this many days until everything is full again are plotted.
constexpr int hours_before_full = 24 * 14;

DesignCheck check_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                     ShownUnits units) {
    CheckOptions options;
    options.units = units;
    if (!scenario.design_check.sun_h)
        options.darkest_month_kwh_per_day =
            darkest_month_kwh_per_day(make_inputs(scenario, year)->array_power_w);
    return design_check(scenario, options);
}

CloudyPeriodTrace trace_of(System const& design, CloudyPeriodInputs const& cloudy,
                           CloudyPeriodStart const& worst) {
    CloudyPeriodTrace t;
    t.first_day = worst.first_day;
    t.begins = worst.begins;
    t.cloudy_period_days = days_of(cloudy);
    auto const system = with_levels(design, worst.begins);
    auto const hours = with_cloudy_period_on(cloudy, t.first_day);
    double const recovery_h = std::isfinite(worst.full_again_h) ? worst.full_again_h + 24 : hours_before_full;
    Clock clock;
    clock.first_hour = 24 * t.first_day;
    clock.hours =
        24 * t.cloudy_period_days +
        24 * static_cast<int>(std::ceil(std::clamp(recovery_h / 24, 3.0, hours_before_full / 24.0)));
    t.designed = simulate(system, hours, clock);
    t.alone = simulate(without_backup(system), hours, clock);
    return t;
}

ReportedDesign quoted_design(scenarios::Design design, weather::WeatherYear const& year,
                             SiteCloudyPeriod const& site, ReportRequest const& request,
                             std::vector<double> const& clear_sky_shares, TellShare const& tell) {
    auto const done = [&](double share) { go_on(request.weather.stop, tell, share); };
    ReportedDesign q;
    q.design = std::move(design);
    auto const& s = q.design.scenario;
    q.design_check = check_of(s, year, request.units);
    if (request.both_units) q.design_check_us = check_of(s, year, ShownUnits::us);
    q.figures = figures_of(s, year, site);
    done(0.2);
    auto const cloudy = make_cloudy_period_inputs(s, year, weather_of(site));
    auto const system = make_system(s);
    auto const levels = start_levels(system, cloudy.own, {});
    auto const days = every_start_day();
    q.designed = run_cloudy_periods(system, cloudy, days, levels);
    done(0.4);
    q.alone = system.rules.backup == Backup::none
                  ? q.designed
                  : run_cloudy_periods(without_backup(system), cloudy, days, levels);
    done(0.6);
    q.shortage_days = days_to_shortage(s, year, clear_sky_shares);
    done(1);
    return q;
}

}  // namespace

ReportRuns run_report(scenarios::DesignFile const& file, ReportRequest const& request) {
    ReportRuns r;
    auto const chosen = scenarios::named_design(file, request.option);
    std::vector<scenarios::Design> designs{scenarios::base_design(file)};
    designs.reserve(1 + file.options.size());
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    r.clear_sky_shares = {0, 0.1, 0.2, 0.3, 0.4, 0.5};
    r.designs.resize(designs.size());
    scenarios::WeatherShelf shelf(request.weather.file);
    std::vector<std::shared_ptr<weather::WeatherYear const>> years;
    std::vector<DrawnDesign> drawn;
    for (auto const& d : designs) {
        years.push_back(shelf.of(d.scenario));
        drawn.push_back({d.scenario, years.back().get()});
    }
    // Shares of the time, about: periods of each design, its years, the map of sizes, the ranges.
    constexpr double designs_done = 0.5, years_done = 0.65, map_done = 0.8;
    auto const& tell = request.weather.progress;
    auto weather = request.weather;
    weather.progress = part_of(tell, designs_done, years_done);
    auto draw = years_to_run(chosen.scenario, weather);
    weather.shelf = draw.shelf;
    auto const sites = site_cloudy_periods(drawn, draw);
    // Each design is run separately; the order in which they finish does not matter.
    ShareOfParts shares(part_of(tell, 0, designs_done), designs.size());
    for_each_job(designs.size(), [&](std::size_t i) {
        r.designs[i] =
            quoted_design(designs[i], *years[i], sites[i], request, r.clear_sky_shares, shares.of(i));
    });
    for (std::size_t i = 0; i < designs.size(); ++i)
        if (designs[i].name == chosen.name) r.quoted = i;
    r.weather = *years[r.quoted];
    auto const& quoted = r.designs[r.quoted];
    auto const& scenario = quoted.design.scenario;
    r.system = make_system(scenario);
    r.site = sites[r.quoted];
    // Parts that do not need each other; only the years tell how far they are.
    std::array<std::function<void()>, 3> const parts{
        [&] {
            if (!any_years(draw)) return;
            r.verdicts = verdicts_over_years(drawn, draw);
            r.worst_year = worst_year(drawn, draw, *r.verdicts, r.quoted);
        },
        [&] {
            r.cloudy = make_cloudy_period_inputs(scenario, r.weather, weather_of(r.site));
            r.hourly = CheckedInputs(r.cloudy.own);
            r.year = simulate(r.system, r.hourly, Clock{});
            r.indices = indices_of(scenario, r.hourly);
            r.trace = trace_of(r.system, r.cloudy, quoted.alone.starts[quoted.alone.worst]);
        },
        [&] { r.what_ifs = what_ifs(scenario, r.weather, r.clear_sky_shares, quoted.shortage_days); }};
    for_each_job(parts.size(), [&](std::size_t i) { parts[i](); });
    stop_if_asked(draw.stop);
    for (std::size_t i = 0; i < r.designs.size(); ++i) {
        auto& d = r.designs[i];
        d.cost = cost_over_years(
            d.design.prices,
            r.verdicts ? r.verdicts->designs[i].judged().judged().years : std::vector<DrawnYear>{},
            d.figures.year, d.figures.findings);
    }
    // [required] is judged in any case, [search.require] if there is one.
    auto const search = scenarios::read_search(file);
    scenarios::Requirements const require = search ? search->require : scenarios::Requirements{};
    BatchYear year;
    year.summary = r.year.summary, year.findings = r.year.findings;
    auto const judged =
        r.verdicts ? r.verdicts->designs[r.quoted].judged().judged().years : std::vector<DrawnYear>{};
    r.required =
        verdicts(requirement_figures(quoted.design, r.weather, require, year, r.verdicts.has_value(), judged),
                 require);
    if (draw.progress)
        draw.progress = [map = part_of(tell, years_done, map_done)](int run, int all) {
            map(static_cast<double>(run) / all);
        };
    r.map = r.verdicts && draw.years > 0
                ? size_map(drawn[r.quoted], draw, r.verdicts->designs[r.quoted].judged().judged().years)
                : size_map(scenario, r.hourly);
    stop_if_asked(draw.stop);
    weather.progress = part_of(tell, map_done, 1);
    r.ranges = sensitivity(file, request.option, weather, stated_ranges(scenario), draw.stop).inputs;
    stop_if_asked(draw.stop);
    tell_share(tell, 1);
    return r;
}

}  // namespace holdwater::sim
