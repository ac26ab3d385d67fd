#include "tools/report/report_runs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/array/single_diode.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/search_settings.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tools/report/report_what_ifs.hpp"

namespace holdwater::tools {
namespace {

constexpr int hours_before_full = 24 * 14;  // at most so much of the way to full is drawn

sim::DesignCheck check_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          sim::ShownUnits units) {
    sim::CheckOptions options;
    options.units = units;
    if (!scenario.design_check.sun_h)
        options.darkest_month_kwh_per_day =
            sim::darkest_month_kwh_per_day(sim::make_inputs(scenario, year)->array_power_w);
    return sim::design_check(scenario, options);
}

CloudyPeriodTrace trace_of(sim::System const& design, sim::CloudyPeriodInputs const& poorest,
                           sim::CloudyPeriodStart const& worst) {
    CloudyPeriodTrace t;
    t.first_day = worst.first_day;
    t.begins = worst.begins;
    t.cloudy_period_days = sim::days_of(poorest);
    auto const system = sim::with_levels(design, worst.begins);
    auto const hours = sim::with_cloudy_period_on(poorest, t.first_day);
    double const recovery_h = std::isfinite(worst.full_again_h) ? worst.full_again_h + 24 : hours_before_full;
    sim::Clock clock;
    clock.first_hour = 24 * t.first_day;
    clock.hours =
        24 * t.cloudy_period_days +
        24 * static_cast<int>(std::ceil(std::clamp(recovery_h / 24, 3.0, hours_before_full / 24.0)));
    t.designed = sim::simulate(system, hours, clock);
    t.alone = sim::simulate(sim::without_backup(system), hours, clock);
    return t;
}

SizeMap size_map(sim::System const& system, sim::HourlyInputs const& hourly) {
    SizeMap m;
    if (system.rules.backup == sim::Backup::generator) m.figure = MapFigure::generator_run_h;
    if (system.rules.backup == sim::Backup::grid) m.figure = MapFigure::grid_kwh;
    m.array_factor = m.battery_factor = {0.5, 0.75, 1, 1.5, 2, 3};
    for (double const battery : m.battery_factor) {
        auto const with_battery = sim::with_battery_factor(system, battery);
        auto& row = m.years.emplace_back();
        for (double const array : m.array_factor) {
            auto inputs = hourly;
            for (double& w : inputs.array_power_w) w *= array;
            for (double& w : inputs.array_window_loss_w) w *= array;
            row.push_back(
                sim::simulate(sim::with_controller_factor(with_battery, array), inputs, sim::Clock{})
                    .summary);
        }
    }
    return m;
}

ReportedDesign quoted_design(scenarios::Design design, weather::WeatherYear const& year,
                             ReportRequest const& request) {
    ReportedDesign q;
    q.design = std::move(design);
    auto const& s = q.design.scenario;
    q.design_check = check_of(
        s, year, request.show.units == ReportUnits::us ? sim::ShownUnits::us : sim::ShownUnits::metric);
    if (request.show.units == ReportUnits::both) q.design_check_us = check_of(s, year, sim::ShownUnits::us);
    q.figures = sim::figures_of(s, year, request.cloudy_period_days);
    auto const poorest = sim::make_cloudy_period_inputs(
        s, year, {sim::CloudyPeriodKind::worst_of_file, {}, 24 * request.cloudy_period_days});
    auto const system = sim::make_system(s);
    auto const levels = sim::start_levels(system, poorest.own, {});
    auto const days = sim::every_start_day();
    q.designed = sim::run_cloudy_periods(system, poorest, days, levels);
    q.alone = system.rules.backup == sim::Backup::none
                  ? q.designed
                  : sim::run_cloudy_periods(sim::without_backup(system), poorest, days, levels);
    return q;
}

}  // namespace

double array_rated_kw(models::PvArrayParameters const& a) {
    double module_w = a.module.rated_power_w;
    if (a.module_model == models::ModuleModel::single_diode)
        module_w = models::maximum_power_point(a.diode, 1000, 25).power_w;
    return 1e-3 * module_w * a.modules_in_series * a.strings_in_parallel;
}

ReportRuns run_report(scenarios::DesignFile const& file, ReportRequest const& request) {
    ReportRuns r;
    auto const chosen = scenarios::named_design(file, request.option);
    r.weather = scenarios::read_scenario_weather(chosen.scenario, request.weather);
    std::vector<scenarios::Design> designs{scenarios::base_design(file)};
    designs.reserve(1 + file.options.size());
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    r.clear_sky_shares = {0, 0.1, 0.2, 0.3, 0.4, 0.5};
    r.designs.resize(designs.size());
    r.lines.resize(designs.size());
    std::vector<weather::WeatherYear> years;
    years.reserve(designs.size());
    for (auto const& d : designs)
        years.push_back(scenarios::read_scenario_weather(d.scenario, request.weather));
    // Each design on its own; the order they finish in does not matter.
    sim::for_each_job(designs.size(), [&](std::size_t i) {
        r.lines[i] = shortage_line(designs[i], years[i], r.clear_sky_shares);
        r.designs[i] = quoted_design(designs[i], years[i], request);
    });
    for (std::size_t i = 0; i < designs.size(); ++i)
        if (designs[i].name == chosen.name) r.quoted = i;
    auto const& quoted = r.designs[r.quoted];
    auto const& scenario = quoted.design.scenario;
    r.system = sim::make_system(scenario);
    r.poorest = sim::make_cloudy_period_inputs(
        scenario, r.weather, {sim::CloudyPeriodKind::worst_of_file, {}, 24 * request.cloudy_period_days});
    r.hourly = r.poorest.own;
    r.year = sim::simulate(r.system, r.hourly, sim::Clock{});
    r.trace = trace_of(r.system, r.poorest, quoted.alone.starts[quoted.alone.worst]);
    if (auto const search = scenarios::read_search(file)) {
        sim::BatchYear year;
        year.summary = r.year.summary, year.findings = r.year.findings;
        r.required = sim::verdicts(sim::requirement_figures(quoted.design, r.weather, search->require, year),
                                   search->require);
    }
    r.what_ifs = what_ifs(scenario, r.weather, r.clear_sky_shares, r.lines[r.quoted].days, request.show);
    r.map = size_map(r.system, r.hourly);
    r.ranges = sim::sensitivity(file, request.option, request.weather, sim::stated_ranges(scenario));
    return r;
}

}  // namespace holdwater::tools
