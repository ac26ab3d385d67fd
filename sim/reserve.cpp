#include "sim/reserve.hpp"

#include <algorithm>
#include <cmath>

#include "models/battery_ageing.hpp"
#include "models/demand.hpp"
#include "models/pv_module.hpp"
#include "sim/day_by_hand.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr int looked_at_d = 60;

std::vector<double> power_hours(SpellOutcome const& outcome) {
    std::vector<double> hours;
    for (auto const& s : outcome.starts) hours.push_back(s.power_lost_h);
    return hours;
}

std::vector<double> wet_hours(SpellOutcome const& outcome) {
    std::vector<double> hours;
    for (auto const& s : outcome.starts) hours.push_back(s.first_dry_h);
    return hours;
}

// A "spell" of the year's own days.
SpellInputs own_days(HourlyInputs const& own) {
    SpellInputs in;
    in.own = own;
    in.dull.push_back(own);
    in.days = looked_at_d;
    return in;
}

double first_dry_h(System const& system, HourlyInputs const& hours, Clock const& clock) {
    auto const run = simulate(system, hours, clock);
    for (std::size_t i = 0; i < run.hours.size(); ++i)
        if (run.hours[i].water_unmet_m3 > some_water_m3) return static_cast<double>(i);
    return SpellStart::never;
}

// Full, and the quarters of what is usable below it.
std::vector<double> levels_of(models::EnergyBucketParameters const& bank) {
    std::vector<double> levels;
    for (double const share : {1., 0.75, 0.5, 0.25})
        levels.push_back(bank.floor_soc + share * (1 - bank.floor_soc));
    return levels;
}

std::vector<LevelLasting> lasting_by_level(System const& system, SpellInputs const& dull,
                                           std::vector<int> const& first_days, int start_hours) {
    std::vector<double> const levels = levels_of(system.bank);
    std::vector<std::vector<double>> lasts(levels.size());
    std::vector<int> days;
    System s = system;
    for (int const day : first_days) {
        auto const hours = with_spell_on(dull, day);
        for (int i = 0; i < start_hours; ++i) {
            int const begins_h = 24 * i / start_hours;
            Clock clock;
            clock.first_hour = 24 * day + begins_h;
            clock.hours = 24 * dull.days - begins_h;
            days.push_back(day);
            for (std::size_t k = 0; k < levels.size(); ++k) {
                s.start_soc = levels[k];
                lasts[k].push_back(first_dry_h(s, hours, clock));
            }
        }
    }
    std::vector<LevelLasting> rows;
    for (std::size_t k = 0; k < levels.size(); ++k) rows.push_back({levels[k], lasting_of(lasts[k], days)});
    return rows;
}

double mean_starts_first_day(System const& system, SpellInputs const& spell,
                             std::vector<int> const& first_days) {
    double starts = 0;
    for (int const day : first_days)
        starts += simulate(system, with_spell_on(spell, day), {24 * day, 24}).summary.pump_starts;
    return starts / static_cast<double>(first_days.size());
}

double stored_water_m3(System const& s) {
    double water_m3 = s.trough ? s.trough->full_m3 : 0;
    if (s.cistern) water_m3 += s.cistern->start_m3 - models::usable_from_m3(s.cistern->cistern);
    if (!s.cistern || !s.cistern->gravity) water_m3 += models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    return water_m3;
}

}  // namespace

Lasting lasting_of(std::vector<double> const& hours, std::vector<int> const& first_days) {
    Lasting l;
    if (hours.empty()) return l;
    auto const worst = std::min_element(hours.begin(), hours.end());
    l.worst_d = *worst / 24;
    l.worst_day = first_days[static_cast<std::size_t>(worst - hours.begin())];
    auto sorted = hours;
    std::sort(sorted.begin(), sorted.end());
    // At least half of the starts last so long.
    l.median_d = sorted[sorted.size() / 2] / 24;
    return l;
}

ReserveFigures reserve_of(scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                          ReserveOptions const& o) {
    ReserveFigures f;
    auto const design = make_system(scenario);
    auto system = without_backup(design);
    system.start_soc = 1;
    std::vector<int> days;
    for (int day = 0; day < days_per_year; day += std::max(o.every_days, 1)) days.push_back(day);

    auto const by_hand = day_by_hand(scenario);
    f.bank_kwh = scenario.bank.capacity_kwh;
    f.usable_kwh = by_hand.usable_kwh;
    f.by_hand_d = days_by_hand(by_hand, by_hand.usable_kwh);
    f.array_kw = 1e-3 * models::array_rated_power_w(scenario.array) * scenario.array.age_factor;
    f.water_m3 = stored_water_m3(system);
    f.water_d =
        by_hand.water_m3 > 0 ? f.water_m3 / by_hand.water_m3 : std::numeric_limits<double>::infinity();
    f.looked_at_d = looked_at_d;

    auto const dark = run_spells(
        system, make_spell_inputs(scenario, year, {SpellKind::clearness, 0, looked_at_d}), days, false);
    f.dark_power = lasting_of(power_hours(dark), days);
    f.dark_water = lasting_of(wet_hours(dark), days);

    auto const dull = make_spell_inputs(scenario, year, o.dull);
    auto const in_dull = run_spells(system, dull, days);
    f.dull_water = lasting_of(wet_hours(in_dull), days);
    for (auto const& s : in_dull.starts) {
        f.full_again_d = std::max(f.full_again_d, s.full_again_h / 24);
        f.never_full += std::isinf(s.full_again_h) ? 1.0 / static_cast<double>(days.size()) : 0;
    }
    f.record_water = lasting_of(wet_hours(run_spells(system, own_days(dull.own), days, false)), days);
    auto const factor = least_bank_factor(system, dull, days);
    f.bank_needed_kwh = factor ? *factor * f.bank_kwh : std::numeric_limits<double>::infinity();
    f.levels = lasting_by_level(system, dull, days, o.start_hours);

    f.no_leak_power = lasting_of(power_hours(in_dull), days);
    f.starts_per_day = mean_starts_first_day(system, dull, days);
    if (o.leak_m3_s > 0) {
        auto const leaking = with_leak(scenario, o.leak_m3_s);
        auto const leaking_dull = make_spell_inputs(leaking, year, o.dull);
        f.leak_power = lasting_of(power_hours(run_spells(system, leaking_dull, days, false)), days);
        f.leak_starts_per_day = mean_starts_first_day(system, leaking_dull, days);
    }
    if (design.rules.backup == Backup::grid)
        f.outages = replay_outages(design, dull.own, outages_to_try(design.outages), days);
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
    double const life_y = now.findings.bank_life_y;
    a.life_assumed = !(life_y > 0);
    a.bank_left = models::remaining_capacity(a.life_assumed ? 1 : std::min(years / life_y, 1.0));
    double const old = models::age_factor(scenario.array_ageing_per_year, scenario.array_years + years);
    if (scenario.array.age_factor > 0) a.array_left = old / scenario.array.age_factor;
    a.scenario.array.age_factor = old;
    a.scenario.array_years += years;
    a.scenario.bank.capacity_kwh *= a.bank_left;
    return a;
}

}  // namespace holdwater::sim
