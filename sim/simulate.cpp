#include "sim/simulate.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <stdexcept>
#include <string>

#include "models/parameter_error.hpp"
#include "sim/load_shedding.hpp"
#include "sim/summarise.hpp"
#include "sim/supply_side.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {
namespace {

// What of the clock, the taps and the grid ends a step at the latest [s from now].
double longest_step_s(Clock const& clock, WaterSide const& water, SupplySide& supply, double now_h,
                      double t_s) {
    double limit_s = std::min(seconds_per_hour, water.next_draw_change_s(t_s)) - t_s;
    if (clock.longest_step_s < seconds_per_hour) {
        double const steps_done = std::floor(t_s / clock.longest_step_s * (1 + 1e-12));
        limit_s = std::min(limit_s, (steps_done + 1) * clock.longest_step_s - t_s);
    }
    return std::min(limit_s, (supply.next_clock_event_h(now_h) - now_h) * seconds_per_hour);
}

// One step from `t_s` of the hour; returns its length, 0 when only a state changed.
double step(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
            LoadShedding& loads, double now_h, double t_s, HourRecord& r) {
    bool const broken = supply.look(now_h);
    double const limit_s = longest_step_s(clock, water, supply, now_h, t_s);
    double const capacity_w = supply.capacity_w(now_h);

    bool const called = water.look(t_s);
    bool running = called && water.pump_peak_w() <= capacity_w;
    if (running && !water.running()) {
        double const others_w = loads.served_w(capacity_w - water.pump_peak_w(), supply);
        running = supply.start_fits(water.start(), others_w, now_h);
    }
    if (called && !running) r.limit_reason = static_cast<double>(supply.limit_reason(now_h));
    water.set_running(running, broken, r);

    // How far the water side goes, and the flow of power over that time.
    WaterPlan const plan = water.plan(limit_s);
    double const room_w = std::max(capacity_w - (running ? water.pump_peak_w() : 0), 0.0);
    PowerFlow const flow = supply.flow(loads.served_w(room_w, supply), plan.pump_w, now_h);
    if (supply.switch_off_if_empty(flow, now_h)) return 0;

    auto const event = supply.next_event(flow, now_h, plan.seconds / seconds_per_hour, inputs.shed_first);
    double const event_s = event.hours * seconds_per_hour;
    bool const cut = event_s < plan.seconds;
    double const dt_s = cut ? event_s : plan.seconds;
    supply.advance(flow, loads.wanted_w(), now_h, dt_s / seconds_per_hour, event.level_kwh, r);
    water.advance(dt_s, !cut, r);
    return dt_s;
}

double value_or(std::vector<double> const& values, std::size_t hour, double otherwise) {
    return values.empty() ? otherwise : values[hour];
}

void check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    for (double const v : values)
        if (!(v >= 0 && std::isfinite(v)))
            models::require(false, name, v, "must be finite and not negative in every hour");
}

}  // namespace

RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock) {
    auto const begin = std::chrono::steady_clock::now();
    check(inputs.array_power_w, "array_power_w");
    check(inputs.load_w, "load_w");
    check(inputs.demand_m3, "demand_m3");
    check(inputs.tap_flow_m3_s, "tap_flow_m3_s");

    RunResult result;
    result.clock = clock;
    result.hours.reserve(static_cast<std::size_t>(clock.hours));
    WaterSide water(system);
    SupplySide supply(system, result.events);
    LoadShedding loads(inputs);
    RunStart const start{supply.bank().stored_kwh(), water.tank_m3()};
    bool was_dry = false;
    for (int i = 0; i < clock.hours; ++i) {
        int const hour = clock.first_hour + i;
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        HourRecord& r = result.hours.emplace_back();
        double const array_w = inputs.array_power_w[h];
        supply.begin_hour(array_w, value_or(inputs.ambient_c, h, 25), value_or(inputs.leg_imbalance_w, h, 0));
        loads.begin_hour(h);
        water.begin_hour(inputs.demand_m3[h], inputs.tap_flow_m3_s[h]);
        int standing_still = 0;
        for (double t_s = 0; t_s < seconds_per_hour;) {
            double const dt_s =
                step(clock, inputs, water, supply, loads, hour + t_s / seconds_per_hour, t_s, r);
            t_s += dt_s;
            standing_still = dt_s > 0 ? 0 : standing_still + 1;
            if (standing_still > 50)
                throw std::logic_error("the year loop stands still at hour " + std::to_string(hour));
        }
        water.end_hour(r);
        r.array_available_kw = array_w * 1e-3;
        r.load_wanted_kw = loads.wanted_w() * 1e-3;
        r.battery_stored_kwh = supply.bank().stored_kwh();
        r.battery_soc = supply.bank().soc();
        r.battery_temperature_c = supply.bank().temperature_c();
        bool const dry = r.water_unmet_m3 > some_water_m3;
        if (dry != was_dry && (dry || r.water_demand_m3 > 0)) {
            result.events.push_back({static_cast<double>(hour),
                                     dry ? EventKind::water_short : EventKind::water_back,
                                     r.tank_pressure_kpa});
            was_dry = dry;
        }
    }
    std::stable_sort(result.events.begin(), result.events.end(),
                     [](Event const& a, Event const& b) { return a.time_h < b.time_h; });
    summarise(result, system, start);
    Summary& s = result.summary;
    s.shortest_run_s = water.shortest_run_s();
    s.soc_min = supply.soc_min();
    s.transfers = supply.transfers();
    s.generator_starts = supply.generator().starts();
    s.wall_time_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return result;
}

}  // namespace holdwater::sim
