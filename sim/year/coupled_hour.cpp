#include "sim/year/coupled_hour.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace holdwater::sim {
namespace {

// Longest step by the clock and the supply [s].
double longest_step_s(Clock const& clock, SupplySide const& supply, double now_h, double t_s) {
    double limit_s = seconds_per_hour - t_s;
    if (clock.longest_step_s < seconds_per_hour) {
        double const steps_done = std::floor(t_s / clock.longest_step_s * (1 + 1e-12));
        limit_s = std::min(limit_s, (steps_done + 1) * clock.longest_step_s - t_s);
    }
    // A rule that is due now, except for rounding, applies within a millionth of a second. A rule that is due
    // when the hour ends applies in the next hour, with its loads: rounding must not put it before the end.
    constexpr double least_step_s = 1e-6;
    double rule_s = std::max((supply.next_clock_event_h(now_h) - now_h) * seconds_per_hour, least_step_s);
    if (supply.break_left_s() > 0) rule_s = std::min(rule_s, supply.break_left_s());
    return rule_s > seconds_per_hour - t_s - least_step_s ? limit_s : std::min(limit_s, rule_s);
}

// What loads and motors take at this moment, or ask for where nothing supplies them. A backup may be too
// small for all of them; what it does not carry is not there at a transfer.
double carried_w(WaterSide& water, SupplySide const& supply, LoadShedding& loads, double now_h) {
    double motors_w = 0;
    for (MotorRun const& m : water.motors())
        motors_w += m.running() || (m.wanted && !supply.on_backup()) ? m.peak_w() : 0;
    double const source_w = supply.on_backup() ? supply.capacity_w(now_h) : 0;
    double const room_w = source_w > motors_w ? source_w - motors_w : std::numeric_limits<double>::infinity();
    return motors_w + loads.served_w(room_w, supply);
}

// One step from `t_s` of the hour; returns its length, 0 if only a state changed.
double step(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
            LoadShedding& loads, double now_h, double t_s, HourRecord& r) {
    bool const broken =
        supply.look(now_h, supply.trips_on_overload() ? carried_w(water, supply, loads, now_h) : 0);
    if (t_s == 0)
        water.judge_surplus({supply.array_w(), supply.battery().soc(), supply.on_backup(),
                             models::hour_of_day(now_h), supply.warned()});
    double const capacity_w = supply.capacity_w(now_h);

    water.look(t_s);
    if (!supply.well_pump_allowed(now_h, loads.wanted_w())) water.hold_well_pump();
    water.locked_out_without_power(capacity_w, supply.limit_reason());
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
        if (m.wanted && !runs) {
            r.limit_reason = static_cast<double>(supply.limit_reason());
            water.held_by_supply(m, supply.limit_reason());
        }
        water.set_running(m, runs, broken, r);
        if (m.running()) room_w -= m.peak_w();
    }
    room_w -= water.standby(room_w);
    double const running_peak_w = capacity_w - room_w;

    // The length of the step by the water side, and the powers during it. Without a battery, only the array
    // power of the step can supply a motor start. A pump draws its mean power over the planned step, so a
    // rule of the supply that ends the step early would apply some seconds off: half of the time until then
    // is planned instead, until only a second is left. If both ends differ by rounding only, nothing is
    // early.
    constexpr double short_s = 1, same_end = 1 - 1e-6;
    bool const starts_apart = supply.on_backup() || supply.battery().capacity_kwh() > 0;
    double const served_w = loads.served_w(std::max(room_w, 0.0), supply);
    double limit_s = longest_step_s(clock, supply, now_h, t_s);
    WaterPlan plan;
    PowerFlow flow;
    SupplySide::BatteryEvent event;
    double event_s = 0;
    bool early = false;
    do {
        plan = water.plan(limit_s, starts_apart);
        flow = supply.flow(served_w, plan.pump_w, std::isfinite(running_peak_w) ? running_peak_w : 0);
        if (supply.switch_off_if_empty(flow, now_h)) return 0;
        event = supply.next_event(flow, now_h, plan.seconds / seconds_per_hour, inputs.shed_first);
        event_s = event.hours * seconds_per_hour;
        early = running_peak_w > 0 && event_s > short_s && event_s < plan.seconds * same_end;
        limit_s = event_s / 2;
    } while (early);
    bool const cut = event_s < plan.seconds;
    double const dt_s = cut ? event_s : plan.seconds;
    supply.advance(flow, loads.wanted_w(), now_h, dt_s / seconds_per_hour, event.level_kwh, r);
    water.advance(dt_s, !cut, r);
    return dt_s;
}

// Far more than rules and switches can need: more steps than this are a fault of the loop, not of the design.
constexpr int most_steps_an_hour = 1000000;

}  // namespace

void check_inverter_loss(double loss_kwh, double output_kwh, int first_hour) {
    if (loss_kwh >= -1e-9 * (1 + output_kwh)) return;
    throw std::logic_error("the inverter gives " + std::to_string(-loss_kwh) +
                           " kWh more than it takes, at " + stamp_of_hour(first_hour) +
                           " or after: look at its loss curve");
}

void coupled_hour(Clock const& clock, HourlyInputs const& inputs, WaterSide& water, SupplySide& supply,
                  LoadShedding& loads, int hour, HourRecord& r) {
    auto const h = static_cast<std::size_t>(hour % hours_per_year);
    double const array_w = inputs.array_power_w[h];
    supply.begin_hour(array_w, value_or(inputs.ambient_c, h, 25), value_or(inputs.leg_imbalance_w, h, 0),
                      value_or(inputs.load_var, h, 0));
    loads.begin_hour(h);
    if (!inputs.load_start_va.empty())
        supply.loads_start(inputs.load_start_va[h],
                           loads.served_w(std::numeric_limits<double>::infinity(), supply),
                           water.running_peak_w());
    water.begin_hour(hour, inputs);
    int standing_still = 0, steps = 0;
    for (double t_s = 0; t_s < seconds_per_hour;) {
        double const dt_s = step(clock, inputs, water, supply, loads, hour + t_s / seconds_per_hour, t_s, r);
        t_s += dt_s;
        standing_still = dt_s > 0 ? 0 : standing_still + 1;
        if (standing_still > 50 || ++steps > most_steps_an_hour)
            throw std::logic_error("the year loop stands still at hour " + std::to_string(hour));
    }
    water.end_hour(r);
    end_hour(inputs, supply.array_factor(), h, loads.wanted_w(), supply.battery(),
             supply.battery().stored_kwh(), r);
}

}  // namespace holdwater::sim
