#include "sim/year/simulate.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>

#include "sim/year/battery_life.hpp"
#include "sim/year/findings.hpp"
#include "sim/year/outage_record.hpp"
#include "sim/year/summarize.hpp"
#include "sim/year/year_loop.hpp"

namespace holdwater::sim {
namespace {

RunStart start_of(System const& system, Clock const& clock, SupplySide const& supply,
                  WaterSide const& water) {
    RunStart start;
    Battery const& battery = supply.battery();
    start.battery_stored_kwh = battery.stored_kwh();
    start.battery_available_kwh = battery.state().available_kwh;
    start.battery_bound_kwh = battery.state().bound_kwh;
    start.battery_capacity_kwh = battery.capacity_kwh();
    CarriedWater const held = water.carried();
    start.tank_water_m3 = held.tank_m3;
    start.cistern_water_m3 = held.cistern_m3;
    start.trough_water_m3 = held.trough_m3;
    if (system.well && system.well->casing) {
        auto const month = static_cast<std::size_t>(month_of_hour(clock.first_hour) - 1);
        bool const carried = system.carried_water && system.carried_water->well;
        start.well_level_m =
            carried ? system.carried_water->well->level_m : system.well->casing->static_level_m[month];
        start.well_area_m2 = models::casing_area_m2(*system.well->casing);
    }
    if (system.generator) start.generator_tank_l = supply.generator().fuel_l();
    return start;
}

// The record of each outage, and its events among the others.
void add_outages(RunResult& result, System const& system) {
    Clock const& clock = result.clock;
    if (system.rules.backup == Backup::grid)
        result.outages = outage_records(system.outages, clock, result.hours);
    double const last_h = clock.first_hour + clock.hours;
    for (OutageRecord const& o : result.outages) {
        if (o.start_h >= clock.first_hour)
            result.events.push_back({o.start_h, EventKind::grid_failed, o.length_h});
        if (o.start_h + o.length_h < last_h)
            result.events.push_back({o.start_h + o.length_h, EventKind::grid_returned, o.water_short_m3});
    }
    std::stable_sort(result.events.begin(), result.events.end(),
                     [](Event const& a, Event const& b) { return a.time_h < b.time_h; });
}

}  // namespace

RunResult simulate(System const& system, CheckedInputs const& inputs, Clock const& clock, Keep keep) {
    auto const begin = std::chrono::steady_clock::now();
    RunResult result;
    result.clock = clock;
    auto const count = static_cast<std::size_t>(clock.hours);
    bool const all = keep == Keep::everything;
    result.hours.resize(all ? count : std::min<std::size_t>(count, 24));
    YearLoop loop(system, inputs, clock, result.events);
    WaterSide const& water = loop.water();
    SupplySide const& supply = loop.supply();
    result.start = start_of(system, clock, supply, water);
    YearBooks books(result, system, result.start);
    bool was_dry = false;
    double lowest_soc = std::numeric_limits<double>::infinity();
    std::size_t day_begin = 0;
    for (std::size_t i = 0; i < count; ++i) {
        int const hour = clock.first_hour + static_cast<int>(i);
        HourRecord& r = result.hours[all ? i : i - day_begin];
        if (!all) r = {};
        loop.go(hour, r);
        // The limit of a rule is reached again and again, a little lower or higher; its first time counts.
        constexpr double same_soc = 1e-3;
        if (supply.soc_min() < lowest_soc - same_soc) {
            lowest_soc = supply.soc_min();
            result.lowest_soc_hour = hour;
        }
        if (!inputs->load_start_va.empty() &&
            load_start_over(system, inputs, static_cast<std::size_t>(hour % hours_per_year), r))
            result.findings.load_starts_over_h += 1;
        bool const dry = r.water_short_m3 > some_water_m3;
        if (dry != was_dry && (dry || r.water_demand_m3 > 0)) {
            was_dry = dry;
            result.events.push_back({static_cast<double>(hour),
                                     dry ? EventKind::water_short : EventKind::water_back,
                                     r.tank_pressure_kpa});
        }
        if (i + 1 - day_begin < 24 && i + 1 < count) continue;
        books.add_day(std::span(result.hours).subspan(all ? day_begin : 0, i + 1 - day_begin));
        day_begin = i + 1;
        if (!all) result.events.clear();
    }
    result.end_water = water.carried();
    Battery const& battery = supply.battery();
    result.end_supply = {battery.state(), battery.heater_w() > 0, battery.charge_refused(),
                         battery.temperature_c(), supply.generator().fuel_l()};
    books.finish();
    Summary& s = result.summary;
    double const shortest_run_s =
        std::min(water.marks().shortest_run_s, water.pump().state().shortest_protected_s);
    s.shortest_run_s = std::isfinite(shortest_run_s) ? shortest_run_s : 0;
    s.soc_min = supply.soc_min();
    s.transfers = supply.transfers();
    s.generator_starts = supply.generator().starts();
    if (all) {
        add_outages(result, system);
        find(result, system, inputs, water);
        find_battery_life(result, system);
        find_supply(result.findings, supply);
    } else {
        result.hours.clear();
        result.findings = {};
    }
    s.wall_time_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return result;
}

RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock) {
    return simulate(system, CheckedInputs(inputs), clock);
}

void watch(System const& system, CheckedInputs const& inputs, Clock const& clock, HourWatcher const& see) {
    std::vector<Event> events;
    YearLoop loop(system, inputs, clock, events);
    for (int i = 0; i < clock.hours; ++i) {
        HourRecord r;
        loop.go(clock.first_hour + i, r);
        if (!see(i, r, events)) return;
        events.clear();
    }
}

}  // namespace holdwater::sim
