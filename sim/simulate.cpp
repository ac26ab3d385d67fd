#include "sim/simulate.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

#include "models/parameter_error.hpp"
#include "sim/summarise.hpp"
#include "sim/supply_side.hpp"
#include "sim/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr double no_level = std::numeric_limits<double>::quiet_NaN();

// What of the clock, the taps and the grid ends a step at the latest [s from now].
double longest_step_s(Clock const& clock, WaterSide const& water, SupplySide& supply, double now_h,
                      double t_s) {
    double limit_s = std::min(seconds_per_hour, water.next_draw_change_s(t_s)) - t_s;
    if (clock.longest_step_s < seconds_per_hour) {
        double const steps_done = std::floor(t_s / clock.longest_step_s * (1 + 1e-12));
        limit_s = std::min(limit_s, (steps_done + 1) * clock.longest_step_s - t_s);
    }
    return std::min(limit_s, (supply.next_grid_change_h(now_h) - now_h) * seconds_per_hour);
}

// One step from `t_s` of the hour; returns its length, 0 when only a state changed.
double step(Clock const& clock, WaterSide& water, SupplySide& supply, double now_h, double t_s,
            double array_w, double load_w, HourRecord& r) {
    double const limit_s = longest_step_s(clock, water, supply, now_h, t_s);
    bool const broken = supply.choose_source(now_h);
    double const capacity_w = supply.capacity_w(array_w);

    bool const called = water.look(t_s);
    bool const running = called && water.pump_peak_w() <= capacity_w;
    if (called && !running) r.limit_reason = static_cast<double>(supply.limit_reason());
    water.set_running(running, broken, r);

    // How far the water side goes, and the flow of power over that time.
    WaterPlan const plan = water.plan(limit_s);
    double const room_w = std::max(capacity_w - (running ? water.pump_peak_w() : 0), 0.0);
    PowerFlow const flow = supply.flow(array_w, std::min(load_w, room_w), plan.pump_w);
    if (supply.switch_off_if_empty(flow, now_h)) return 0;

    auto const bank = supply.next_bank_event(flow, plan.seconds / seconds_per_hour);
    double const bank_s = bank.hours * seconds_per_hour;
    bool const bank_first = bank_s < plan.seconds;
    double const dt_s = bank_first ? bank_s : plan.seconds;
    supply.advance(flow, load_w, dt_s / seconds_per_hour, bank_first ? bank.level_kwh : no_level, r);
    water.advance(dt_s, !bank_first, r);
    return dt_s;
}

void check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    for (double const v : values)
        models::require(v >= 0 && std::isfinite(v), name, v, "must be finite and not negative in every hour");
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
    RunStart const start{supply.stored_kwh(), water.tank_m3()};
    bool was_dry = false;
    for (int i = 0; i < clock.hours; ++i) {
        int const hour = clock.first_hour + i;
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        double const array_w = inputs.array_power_w[h], load_w = inputs.load_w[h];
        HourRecord& r = result.hours.emplace_back();
        water.begin_hour(inputs.demand_m3[h], inputs.tap_flow_m3_s[h]);
        int standing_still = 0;
        for (double t_s = 0; t_s < seconds_per_hour;) {
            double const dt_s =
                step(clock, water, supply, hour + t_s / seconds_per_hour, t_s, array_w, load_w, r);
            t_s += dt_s;
            standing_still = dt_s > 0 ? 0 : standing_still + 1;
            if (standing_still > 50)
                throw std::logic_error("the year loop stands still at hour " + std::to_string(hour));
        }
        water.end_hour(r);
        r.array_available_kw = array_w * 1e-3;
        r.load_wanted_kw = load_w * 1e-3;
        r.battery_stored_kwh = supply.stored_kwh();
        r.battery_soc = supply.soc();
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
    s.generator_starts = supply.generator_starts();
    s.wall_time_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return result;
}

}  // namespace holdwater::sim
