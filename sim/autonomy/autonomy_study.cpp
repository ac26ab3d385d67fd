#include "sim/autonomy/autonomy_study.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "models/array/pv_module.hpp"
#include "models/battery/battery_aging.hpp"
#include "models/water/demand.hpp"
#include "sim/autonomy/least_size.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/check/hand_calculation.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

std::vector<double> power_hours(CloudyPeriodOutcome const& outcome) {
    std::vector<double> hours;
    for (auto const& s : outcome.starts) hours.push_back(s.power_lost_h);
    return hours;
}

std::vector<double> hours_without_shortage(CloudyPeriodOutcome const& outcome) {
    std::vector<double> hours;
    for (auto const& s : outcome.starts) hours.push_back(s.first_shortage_h);
    return hours;
}

std::vector<SocAutonomy> lasting_by_level(System const& system, CloudyPeriodInputs cloudy,
                                          std::vector<int> const& first_days,
                                          std::vector<StoreLevels> const& of_year, int start_hours) {
    std::vector<SocAutonomy> rows;
    for (double const share : {1., 0.75, 0.5, 0.25})
        rows.push_back({share, levels_at_share(system, share).soc, {}});
    rows.push_back({std::nullopt, 0, {}});
    std::vector<std::vector<double>> lasts(rows.size());
    std::vector<int> days;
    for (int i = 0; i < start_hours; ++i) {
        cloudy.start_hour = 24 * i / start_hours;
        std::size_t const done = days.size();
        for (int const day : first_days) {
            days.push_back(day);
            int const hour = 24 * day + cloudy.start_hour;
            rows.back().level += of_year[static_cast<std::size_t>(hour)].soc;
        }
        for (auto& row : lasts) row.resize(days.size());
        for_each_start(cloudy, first_days, [&](std::size_t d, CheckedInputs const& hours) {
            Clock clock;
            clock.first_hour = 24 * first_days[d] + cloudy.start_hour;
            clock.hours = cloudy.hours;
            auto const& year_has = of_year[static_cast<std::size_t>(clock.first_hour)];
            for (std::size_t k = 0; k < rows.size(); ++k) {
                auto const& share = rows[k].usable_share;
                auto const begin =
                    with_levels(system, share ? levels_at_share(system, *share, year_has) : year_has);
                lasts[k][done + d] = first_shortage_h(begin, hours, clock);
            }
        });
    }
    rows.back().level /= static_cast<double>(days.size());
    for (std::size_t k = 0; k < rows.size(); ++k) rows[k].water = worst_and_median(lasts[k], days);
    return rows;
}

double mean_starts_first_day(System const& system, CloudyPeriodInputs const& period,
                             std::vector<int> const& first_days, std::vector<StoreLevels> const& levels) {
    std::vector<double> starts(first_days.size());
    for_each_start(period, first_days, [&](std::size_t i, CheckedInputs const& hours) {
        int const first_hour = 24 * first_days[i];
        watch(with_levels(system, levels[static_cast<std::size_t>(first_hour)]), hours, {first_hour, 24},
              [&](int, HourRecord const& r, auto) {
                  starts[i] += r.pump_starts;
                  return true;
              });
    });
    return std::accumulate(starts.begin(), starts.end(), 0.0) / static_cast<double>(first_days.size());
}

double stored_water_m3(System const& s) {
    double water_m3 = s.trough ? s.trough->full_m3 : 0;
    if (s.cistern) water_m3 += s.cistern->cistern.fill_stop_m3 - models::usable_from_m3(s.cistern->cistern);
    if (!s.cistern || !s.cistern->gravity) water_m3 += models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    return water_m3;
}

// The figures from `cloudy_water` on.
void add_detail(AutonomyFigures& f, scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                AutonomyOptions const& o, System const& design, std::vector<StoreLevels> const& levels,
                std::vector<int> const& days) {
    auto const system = without_backup(design);
    auto const cloudy = make_cloudy_period_inputs(scenario, year, o.cloudy);
    go_on(o.stop, o.progress, 0.1);
    auto const in_cloudy = run_cloudy_periods(system, cloudy, days, levels);
    f.cloudy_water = worst_and_median(hours_without_shortage(in_cloudy), days);
    for (auto const& s : in_cloudy.starts) {
        f.full_again_d = std::max(f.full_again_d, s.full_again_h / 24);
        f.never_full += std::isinf(s.full_again_h) ? 1.0 / static_cast<double>(days.size()) : 0;
    }
    go_on(o.stop, o.progress, 0.2);
    CheckedInputs const own(cloudy.own);
    std::vector<double> record_h(days.size());
    for_each_job(days.size(), [&](std::size_t i) {
        int const first_hour = 24 * days[i];
        record_h[i] = first_shortage_h(with_levels(system, levels[static_cast<std::size_t>(first_hour)]), own,
                                       {first_hour, 24 * autonomy_looked_at_d});
    });
    f.record_water = worst_and_median(record_h, days);
    go_on(o.stop, o.progress, 0.35);
    CloudyPeriodQuestion const question{design, false, cloudy, days};
    auto const battery_factor = least_battery_factor(question);
    f.battery_needed_kwh = battery_factor ? *battery_factor * f.battery_kwh : CloudyPeriodStart::never;
    go_on(o.stop, o.progress, 0.5);
    if (design.cistern) {
        auto const factor = least_cistern_factor(question);
        f.cistern_tried_m3 = with_cistern_factor(design, largest_factor).cistern->cistern.capacity_m3;
        f.cistern_needed_m3 = factor ? with_cistern_factor(design, *factor).cistern->cistern.capacity_m3
                                     : CloudyPeriodStart::never;
    }
    go_on(o.stop, o.progress, 0.6);
    f.levels = lasting_by_level(system, cloudy, days, levels, o.start_hours);

    f.no_leak_power = worst_and_median(power_hours(in_cloudy), days);
    f.starts_per_day = mean_starts_first_day(system, cloudy, days, levels);
    go_on(o.stop, o.progress, 0.9);
    if (o.leak_m3_s > 0) {
        auto const leaking = with_leak(scenario, o.leak_m3_s);
        auto const leaking_cloudy = make_cloudy_period_inputs(leaking, year, o.cloudy);
        auto const with = run_cloudy_periods(system, leaking_cloudy, days, levels, FollowUntil::both_lost);
        f.leak_water = worst_and_median(hours_without_shortage(with), days);
        f.leak_power = worst_and_median(power_hours(with), days);
        f.leak_starts_per_day = mean_starts_first_day(system, leaking_cloudy, days, levels);
    }
}

}  // namespace

AutonomyFigures study_autonomy(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                               AutonomyOptions const& o) {
    AutonomyFigures f;
    auto const design = make_system(scenario);
    auto const system = without_backup(design);
    std::vector<int> days;
    for (int day = 0; day < days_per_year; day += std::max(o.every_days, 1)) days.push_back(day);

    auto const by_hand = day_by_hand(scenario);
    f.battery_kwh = scenario.battery.capacity_kwh;
    f.usable_kwh = by_hand.usable_kwh;
    f.by_hand_d = days_by_hand(by_hand, by_hand.usable_kwh);
    f.array_kw = 1e-3 * models::array_rated_power_w(scenario.array) * scenario.array.age_factor;
    f.water_m3 = stored_water_m3(system);
    f.water_d =
        by_hand.water_m3 > 0 ? f.water_m3 / by_hand.water_m3 : std::numeric_limits<double>::infinity();

    go_on(o.stop, o.progress, 0);
    auto const site = make_cloudy_period_inputs(scenario, year, weather_of(o.site));
    auto const levels = start_levels(design, site.own, {});
    auto full_battery = levels;
    for (auto& level : full_battery) level.soc = 1;
    auto const dark = make_cloudy_period_inputs(scenario, year, {CloudyPeriodKind::clearness, {0}, 24});
    auto const every_day = every_start_day();
    f.autonomy = autonomy_of(design, dark.cloudy[0], full_battery,
                             sunset_hours(weather::sun_over_year(year.site)), every_day);
    f.site_period = site_period_of(
        o.site, run_cloudy_periods(system, site, every_day, levels, FollowUntil::both_lost), every_day);

    if (o.detail) add_detail(f, scenario, year, o, design, levels, days);
    if (scenarios::bypassed_by_hand(scenario.rules)) f.hand_response_h = scenario.rules.hand_response_h;
    f.listed_bypass_h = scenarios::listed_bypass_h(scenario.rules);
    go_on(o.stop, o.progress, 0.95);
    if (design.rules.backup == Backup::grid)
        f.outages = replay_outages(design, site.own, outages_to_try(design.outages), days);
    return f;
}

scenarios::Scenario with_leak(scenarios::Scenario s, double leak_m3_s) {
    auto& d = s.demand;
    if (d.uses.empty() && !d.series) {
        models::WaterUse use;
        use.daily_m3 = d.daily_m3;
        use.tap_flow_m3_s = d.tap_flow_m3_s;
        use.weekday = use.weekend = d.profile;
        if (d.varying) use = *d.varying;
        use.name = "demand";
        d.uses.push_back(std::move(use));
        d.from_trough.push_back(s.trough.has_value());
    }
    d.uses.push_back(models::leak_use("leak", leak_m3_s));
    d.uses.back().priority = 100;
    d.from_trough.push_back(false);
    return s;
}

AgedDesign aged(scenarios::Scenario const& scenario, weather::WeatherYear const& year, double years) {
    AgedDesign a{scenario, 1, 1, false};
    auto const now = simulate(make_system(scenario), make_inputs(scenario, year), Clock{});
    double const life_y = now.findings.battery_life_y;
    a.life_assumed = !(life_y > 0);
    a.battery_left = models::remaining_capacity(a.life_assumed ? 1 : std::min(years / life_y, 1.0));
    double const old = models::age_factor(scenario.array_aging_per_year, scenario.array_years + years);
    if (scenario.array.age_factor > 0) a.array_left = old / scenario.array.age_factor;
    a.scenario.array.age_factor = old;
    a.scenario.array_years += years;
    a.scenario.battery.capacity_kwh *= a.battery_left;
    return a;
}

}  // namespace holdwater::sim
