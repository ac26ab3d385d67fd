#include "sim/simulate.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <stdexcept>
#include <string>

#include "models/parameter_error.hpp"
#include "sim/bank_life.hpp"
#include "sim/findings.hpp"
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
    // A rule due at this very moment but for rounding takes hold within a millionth of a second.
    constexpr double least_step_s = 1e-6;
    return std::min(limit_s,
                    std::max((supply.next_clock_event_h(now_h) - now_h) * seconds_per_hour, least_step_s));
}

// One step from `t_s` of the hour; returns its length, 0 when only a state changed.
double step(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
            LoadShedding& loads, double now_h, double t_s, HourRecord& r) {
    bool const broken = supply.look(now_h);
    double const capacity_w = supply.capacity_w(now_h);

    water.look(t_s);
    double room_w = capacity_w;
    for (MotorRun& m : water.motors()) {
        bool runs = m.wanted && m.peak_w() <= room_w;
        if (runs && !m.running()) {
            double const others_w = loads.served_w(room_w - m.peak_w(), supply) + (capacity_w - room_w);
            runs = supply.start_fits(water.start_of(m), others_w, now_h);
            if (supply.tripped()) {
                r.limit_reason = static_cast<double>(LimitReason::inverter_tripped);
                return 0;
            }
        }
        if (m.wanted && !runs) r.limit_reason = static_cast<double>(supply.limit_reason(now_h));
        water.set_running(m, runs, broken, r);
        if (m.running()) room_w -= m.peak_w();
    }
    room_w -= water.standby(room_w);
    double const running_peak_w = capacity_w - room_w;

    // How far the water side goes, and the flow of power over that time.
    WaterPlan const plan = water.plan(longest_step_s(clock, water, supply, now_h, t_s));
    PowerFlow const flow = supply.flow(loads.served_w(std::max(room_w, 0.0), supply), plan.pump_w,
                                       std::isfinite(running_peak_w) ? running_peak_w : 0, now_h);
    if (supply.switch_off_if_empty(flow, now_h)) return 0;

    auto const event = supply.next_event(flow, now_h, plan.seconds / seconds_per_hour, inputs.shed_first);
    double const event_s = event.hours * seconds_per_hour;
    bool const cut = event_s < plan.seconds;
    double const dt_s = cut ? event_s : plan.seconds;
    supply.advance(flow, loads.wanted_w(), now_h, dt_s / seconds_per_hour, event.level_kwh, r);
    water.advance(dt_s, !cut, r);
    return dt_s;
}

// Far above what rules and switches can ask for: more is a fault of the loop, not of the design.
constexpr int most_steps_an_hour = 100000;

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

// The parts that may be left out.
void check_draws(HourlyInputs const& inputs) {
    if (!inputs.trough_m3.empty()) check(inputs.trough_m3, "trough_m3");
    if (inputs.first_draw.empty()) return;
    models::require(inputs.first_draw.size() == static_cast<std::size_t>(hours_per_year) + 1 &&
                        inputs.first_draw.back() == inputs.draws.size(),
                    "first_draw", static_cast<double>(inputs.first_draw.size()),
                    "must hold 8761 positions, the last one the end of draws");
}

// Whether the largest start of a small load, on top of the hour's loads and a pump that runs in it, is more
// than the inverter stands for a second.
bool load_start_over(System const& s, HourlyInputs const& inputs, std::size_t h, HourRecord const& r) {
    if (inputs.load_start_va[h] == 0 || s.inverter.surge.empty() || r.backup_h >= 1) return false;
    double const pump_w = r.pump_run_h > 0 ? 1e3 * r.pump_kw / r.pump_run_h : 0;
    double const with_va = std::hypot(1e3 * r.load_served_kw + pump_w, value_or(inputs.load_var, h, 0));
    return with_va + inputs.load_start_va[h] >
           models::surge_va(s.inverter, 1) - value_or(inputs.leg_imbalance_w, h, 0);
}

}  // namespace

RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock) {
    auto const begin = std::chrono::steady_clock::now();
    check(inputs.array_power_w, "array_power_w");
    check(inputs.load_w, "load_w");
    check(inputs.demand_m3, "demand_m3");
    check(inputs.tap_flow_m3_s, "tap_flow_m3_s");

    check_draws(inputs);

    RunResult result;
    result.clock = clock;
    result.hours.reserve(static_cast<std::size_t>(clock.hours));
    WaterSide water(system, result.events);
    SupplySide supply(system, result.events);
    LoadShedding loads(inputs);
    RunStart const start{supply.bank().stored_kwh(), water.stored_m3()};
    bool was_dry = false;
    for (int i = 0; i < clock.hours; ++i) {
        int const hour = clock.first_hour + i;
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        HourRecord& r = result.hours.emplace_back();
        double const array_w = inputs.array_power_w[h];
        supply.begin_hour(array_w, value_or(inputs.ambient_c, h, 25), value_or(inputs.leg_imbalance_w, h, 0),
                          value_or(inputs.load_var, h, 0));
        loads.begin_hour(h);
        water.begin_hour(hour, inputs, {array_w, supply.bank().soc(), supply.on_backup()});
        int standing_still = 0, steps = 0;
        for (double t_s = 0; t_s < seconds_per_hour;) {
            double const dt_s =
                step(clock, inputs, water, supply, loads, hour + t_s / seconds_per_hour, t_s, r);
            t_s += dt_s;
            standing_still = dt_s > 0 ? 0 : standing_still + 1;
            if (standing_still > 50 || ++steps > most_steps_an_hour)
                throw std::logic_error("the year loop stands still at hour " + std::to_string(hour));
        }
        water.end_hour(r);
        if (!inputs.load_start_va.empty() && load_start_over(system, inputs, h, r))
            result.findings.load_starts_over_h += 1;
        double const lost_w = value_or(inputs.array_window_loss_w, h, 0);
        r.array_window_loss_kw = lost_w * 1e-3;
        r.array_available_kw = (array_w + lost_w) * 1e-3;
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
    s.shortest_run_s = water.pump().shortest_run_s();
    find(result, system, inputs, water);
    find_bank_life(result, system);
    Findings& f = result.findings;
    f.starts_refused = supply.starts_refused();
    f.inverter_trips = supply.inverter_trips();
    f.generator_failures = supply.generator().failed_starts();
    f.fuel_outs = supply.generator().fuel_outs();
    f.generator_low_load_h = supply.generator().low_load_h();
    s.soc_min = supply.soc_min();
    s.transfers = supply.transfers();
    s.generator_starts = supply.generator().starts();
    s.wall_time_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return result;
}

}  // namespace holdwater::sim
