#include <algorithm>
#include <cmath>

#include "models/generator/generator.hpp"
#include "models/water/pressure_tank.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/shortages.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/report/report_content.hpp"
#include "tools/report/what_if_words.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {
namespace {

// Infinite values become null.
Json figure(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json start_figures(sim::CloudyPeriodStart const& s) {
    return {{"start_day", s.first_day},
            {"first_shortage_h", figure(s.first_shortage_h)},
            {"short_after_end_h", figure(s.dry_after_h)},
            {"full_again_h", figure(s.full_again_h)},
            {"generator_run_h", s.generator_h},
            {"generator_fuel_l", s.generator_fuel_l},
            {"grid_kwh", s.grid_kwh}};
}

// The start dates that need the backup most.
Json most_of(std::vector<sim::CloudyPeriodStart> const& starts) {
    auto const most = [&](double sim::CloudyPeriodStart::*of) {
        return *std::max_element(starts.begin(), starts.end(),
                                 [&](auto const& a, auto const& b) { return a.*of < b.*of; });
    };
    auto const hours = most(&sim::CloudyPeriodStart::generator_h),
               grid = most(&sim::CloudyPeriodStart::grid_kwh);
    return {{"generator_run_h", hours.generator_h},
            {"generator_start_day", hours.first_day},
            {"generator_fuel_l", most(&sim::CloudyPeriodStart::generator_fuel_l).generator_fuel_l},
            {"grid_kwh", grid.grid_kwh},
            {"grid_start_day", grid.first_day}};
}

int hours_short_after(sim::RunResult const& run, int days) {
    auto const end = std::min(run.hours.size(), 24 * static_cast<std::size_t>(days));
    return static_cast<int>(
        std::count_if(run.hours.begin() + static_cast<std::ptrdiff_t>(end), run.hours.end(),
                      [](auto const& h) { return h.water_short_m3 > sim::some_water_m3; }));
}

Json cloudy_period_figures(sim::ReportRuns const& r) {
    auto const& q = quoted(r);
    double delivered_m3 = 0, demand_m3 = 0;
    int const days = r.trace.cloudy_period_days;
    for (std::size_t h = 0; h < 24 * static_cast<std::size_t>(days); ++h) {
        delivered_m3 += r.trace.alone.hours[h].water_delivered_m3;
        demand_m3 += r.trace.alone.hours[h].water_demand_m3;
    }
    Json f{{"length_d", days},
           {"begin_soc", r.trace.begins.soc},
           {"begin_cistern_m3", r.trace.begins.cistern_m3},
           {"begin_trough_m3", r.trace.begins.trough_m3},
           {"delivered_per_day_m3", delivered_m3 / days},
           {"demand_per_day_m3", demand_m3 / days},
           {"alone", start_figures(q.alone.starts[q.alone.worst])},
           {"alone_short_after_hours", hours_short_after(r.trace.alone, days)}};
    if (r.trace.begins.well) f["begin_well_level_m"] = r.trace.begins.well->level_m;
    if (r.trace.begins.battery_c) f["begin_battery_c"] = *r.trace.begins.battery_c;
    if (r.system.rules.backup == sim::Backup::none) return f;
    f["same_start_with_backup"] = start_figures(q.designed.starts[q.alone.worst]);
    f["same_start_with_backup_short_after_hours"] = hours_short_after(r.trace.designed, days);
    f["worst_start_with_backup"] = start_figures(q.designed.starts[q.designed.worst]);
    f["most_with_backup"] = most_of(q.designed.starts);
    return f;
}

Json design_figures(sim::ReportedDesign const& d) {
    auto const& s = d.design.scenario;
    auto const& worst = d.alone.starts[d.alone.worst];
    double const usable_kwh = s.battery.capacity_kwh * (1 - s.battery.min_soc);
    Json f{{"name", d.design.name},
           {"array_kw", 1e-3 * models::array_rated_power_w(s.array)},
           {"usable_battery_kwh", usable_kwh},
           {"usable_battery_aged_kwh", 0.8 * usable_kwh},
           {"shortage_hours", d.figures.year.shortage_hours},
           {"demand_met_fraction", d.figures.year.demand_met_fraction},
           {"water_short_m3", d.figures.year.water_short_m3},
           {"soc_min", d.figures.year.soc_min},
           {"autonomy_d", figure(d.figures.autonomy.water.worst_d)},
           {"generator_run_h", d.figures.year.generator_run_h},
           {"generator_fuel_l", d.figures.year.generator_fuel_l},
           {"grid_kwh", d.figures.year.grid_kwh},
           {"cloudy_period", start_figures(worst)},
           {"most_in_cloudy_period", most_of(d.designed.starts)}};
    if (d.design.prices) {
        f["purchase"] = d.design.prices->purchase;
        f["life_cycle_cost"] = d.cost->mean.life_cycle_cost;
        if (d.cost->spread) f["life_cycle_cost_10_90"] = {d.cost->spread->low, d.cost->spread->high};
    }
    for (auto const& c : d.design_check.checks)
        if (c.name == "start-surge" && std::isfinite(c.margin)) f["start_margin_fraction"] = c.margin - 1;
    return f;
}

Json what_if_figures(sim::WhatIfs const& w) {
    Json bars = Json::array();
    for (auto const& b : w.bars)
        bars.push_back({{"name", what_if_words(b, ReportShow{}).name},
                        {"low_d", figure(b.low_days)},
                        {"high_d", figure(b.high_days)}});
    return {{"clear_sky_share", w.clear_sky_share},
            {"base_d", figure(w.base_days)},
            {"leak_d", figure(w.days_with_leak)},
            {"bars", bars}};
}

// From the verdict over many years, if there is one.
Json years_figures(sim::ReportRuns const& r) {
    if (!r.verdicts) return Json::object();
    auto const& worst = *r.worst_year;
    Json f{{"verdict", verdict_json(*r.verdicts, r.quoted, &worst, &r.year.summary)},
           {"seed", r.verdicts->seed},
           {"end_of_life_fraction", quoted_scenario(r).years.battery_end_of_life},
           {"worst_number", worst.number},
           {"worst_short_h", r.verdicts->designs[r.quoted].judged().judged().verdict.worst_shortage_hours},
           {"one_in_ten_short_h",
            r.verdicts->designs[r.quoted].judged().judged().verdict.shortage_hours_one_in_ten},
           {"worst_soc_min", worst.run.summary.soc_min},
           {"lowest_soc_day", worst.run.lowest_soc_hour / 24}};
    if (worst.longest)
        f["longest"] = {
            {"first_day", worst.longest->first_hour / 24},
            {"first_of_month", weather::calendar_hour(worst.longest->first_hour % 8760).day},
            {"last_day", (worst.longest->first_hour + static_cast<int>(worst.longest->hours) - 1) / 24}};
    return f;
}

// What is required and what was found, as numbers.
Json asked_figures(sim::ReportRuns const& r) {
    Json asked = Json::object();
    for (auto const& v : r.required)
        asked[v.key] = {
            {"limit", v.limit}, {"limit_share", v.limit}, {"value", v.value}, {"value_share", v.value}};
    return asked;
}

// How many years of the verdict hold for each design.
Json held_figures(sim::ReportRuns const& r) {
    Json designs = Json::array();
    if (!r.verdicts) return designs;
    for (auto const& verdict : r.verdicts->designs) {
        auto const& v = verdict.judged().judged().verdict;
        designs.push_back({{"held", v.held}, {"years", v.years}});
    }
    return designs;
}

// How many years of each design are of each kind (dot_kinds).
Json dot_figures(sim::ReportRuns const& r) {
    Json designs = Json::array();
    if (!r.verdicts) return designs;
    for (auto const& verdict : r.verdicts->designs) {
        Json years = Json::array();
        for (auto const& kind : dot_kinds(verdict.judged().judged().verdict)) years.push_back(kind.years);
        designs.push_back(years);
    }
    return designs;
}

Json check_figures(sim::DesignCheck const& p) {
    Json list = Json::array();
    for (auto const& c : p.checks)
        list.push_back({{"check", c.name},
                        {"value", figure(c.value)},
                        {"limit", figure(c.limit)},
                        {"unit", c.unit},
                        {"margin", figure(c.margin)}});
    return list;
}

Json water_side(sim::ReportRuns const& r) {
    auto const& s = quoted_scenario(r);
    auto const& f = r.year.findings;
    double cistern_m3 = 0;
    if (r.system.cistern) {
        auto const& c = r.system.cistern->cistern;
        cistern_m3 = std::max(0.0, c.fill_stop_m3 - c.dead_m3 - c.reserve_m3);
    }
    bool const gravity = r.system.cistern && r.system.cistern->gravity;
    return {{"drawdown_m3", gravity ? Json(nullptr) : Json(models::drawdown_m3(s.tank))},
            {"cut_in_kpa", s.tank.cut_in_kpa},
            {"cut_out_kpa", s.tank.cut_out_kpa},
            {"daily_starts_mean", quoted(r).figures.starts_per_day},
            {"most_starts_in_24h", f.most_starts_in_24h},
            {"most_starts_in_1h", f.most_starts_in_1h},
            {"daily_starts_limit", f.starts_limit_per_day},
            {"shortest_run_s", r.year.summary.shortest_run_s},
            {"least_run_s", r.system.motor.least_run_s},
            {"peak_draw_m3_s", f.peak_draw_m3_s},
            {"water_without_power_min",
             gravity || !(f.peak_draw_m3_s > 0)
                 ? Json(nullptr)
                 : Json(models::stored_water_m3(s.tank, s.tank.cut_out_kpa) / f.peak_draw_m3_s / 60)},
            {"tank_water_m3",
             gravity ? Json(nullptr) : Json(models::stored_water_m3(s.tank, s.tank.cut_out_kpa))},
            {"cistern_water_m3", cistern_m3},
            {"trough_m3", r.system.trough ? Json(r.system.trough->full_m3) : Json(nullptr)}};
}

}  // namespace

Json report_figures(sim::ReportRuns const& r) {
    auto const list = sim::shortages(r.year);
    Json longest = nullptr;
    if (!list.empty()) {
        auto const& l = *std::max_element(list.begin(), list.end(),
                                          [](auto const& a, auto const& b) { return a.hours < b.hours; });
        longest = {
            {"length_h", l.hours}, {"first_day", l.first_hour / 24}, {"first_hour", l.first_hour % 24}};
    }
    auto const& autonomy = quoted(r).figures.autonomy.water;
    Json designs = Json::array();
    for (auto const& d : r.designs) designs.push_back(design_figures(d));
    Json loads = Json::array();
    for (auto const& l : quoted_scenario(r).loads)
        loads.push_back(
            {{"name", l.load.name}, {"power_w", l.load.power_w}, {"shed_below_soc", l.shed_below}});
    return {{"longest_shortage", longest},
            {"lowest_soc_day", r.year.lowest_soc_hour / 24},
            {"autonomy", {{"worst_d", figure(autonomy.worst_d)}, {"worst_day", autonomy.worst_day}}},
            {"cloudy_period", cloudy_period_figures(r)},
            {"designs", designs},
            {"dots", dot_figures(r)},
            {"held", held_figures(r)},
            {"asked", asked_figures(r)},
            {"loads", loads},
            {"years", years_figures(r)},
            {"least_soc", r.system.battery.min_soc},
            {"what_ifs", what_if_figures(r.what_ifs)},
            {"checks", check_figures(quoted(r).design_check)},
            {"water_side", water_side(r)},
            {"indices", indices_json(r.indices)},
            {"energy", report_energy_figures(r)}};
}

}  // namespace holdwater::tools
