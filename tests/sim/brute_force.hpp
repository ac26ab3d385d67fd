#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "models/water/pressure_tank.hpp"
#include "models/water/pump_cycle.hpp"
#include "sim/base/system.hpp"
#include "tests/sim/brute_force_frost.hpp"
#include "tests/sim/brute_force_supply.hpp"
#include "tests/sim/brute_force_water.hpp"

namespace holdwater::test {

/// When a switch that opened at `now_h` is reset: minute by minute from then on, until someone is on site.
inline double reset_after(models::LowPressureCutoff const& c, double now_h) {
    if (!c.by_hand) return now_h + c.reset_after_h;
    double const length_h = c.attended_to_h - c.attended_from_h;
    for (double t = now_h;; t += 1.0 / 60) {
        double const since_h = std::fmod(t - c.attended_from_h + 100 * c.visit_every_h, c.visit_every_h);
        if (since_h < length_h) return t + c.reset_after_h;
    }
}

/// What a three-phase inverter carries in all with these loads on its phases: the loads, and as much besides
/// on each phase as is left on the fullest.
inline double carried_by_phases_w(models::InverterParameters const& inv,
                                  std::array<double, 3> const& load_w) {
    double const phase_va = inv.phase_va > 0 ? inv.phase_va : inv.rated_power_w / 3;
    double const left_w = phase_va - std::max({load_w[0], load_w[1], load_w[2]});
    return std::min(load_w[0] + load_w[1] + load_w[2] + 3 * left_w, inv.rated_power_w);
}

/// What a logger on site would see at the end of an interval: sums since the interval before, and the SOC.
struct LoggedInterval {
    double soc = 0, array_kwh = 0, pump_kwh = 0, load_kwh = 0, backup_kwh = 0, delivered_m3 = 0, starts = 0;
};

/// The same equations as the year loop, stepped forward by one second (or a fraction of it) with forward
/// Euler; thresholds are checked once in each step. No events, no closed forms, nothing shared with sim/
/// except the parameter structs: what a careful person would write first. Slow; for tests only.
/// `phase_w`: loads on each phase of a three-phase inverter in each hour of the year; null: the inputs say
/// how uneven the phases are. `record`: one entry for each `record_s`, a divisor of the hour; null: none.
/// `heater`: of a place, in addition to the loads of the inputs and shed like them; null: none.
inline BruteForce brute_force(sim::System const& s, sim::HourlyInputs const& in, int first_hour, int hours,
                              int per_second = 1, std::vector<LoggedInterval>* record = nullptr,
                              int record_s = 3600,
                              std::vector<std::array<double, 3>> const* phase_w = nullptr,
                              models::FrostHeater const* heater = nullptr) {
    BruteForce sum;
    LoggedInterval seen;
    double starts_before = 0, delivered_before = 0;
    double const cap = s.battery.capacity_kwh, dt = 1.0 / per_second;
    double const w_in = models::stored_water_m3(s.tank, s.tank.cut_in_kpa);
    double const w_out = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    double const w_cutoff = s.cutoff ? models::stored_water_m3(s.tank, s.cutoff->cutoff_kpa) + 1e-9 : -1;
    Wet wet(s, dt);
    bool const gravity = s.cistern && s.cistern->gravity;
    double const peak_w = gravity ? 0 : wet.peak_w(w_out);
    double fill_peak_w = 0;
    if (s.cistern)
        for (auto const& point : s.cistern->filling) fill_peak_w = std::max(fill_peak_w, point.power_w);
    double start_left_j = 0, fill_start_left_j = 0, rest_s = 1e9;
    bool filling = false, was_filling = false;
    double e = s.start_soc * cap, w = w_out;
    bool closed = false, was_running = false, was_wanted = false, fill_was_wanted = false;
    bool locked_out = false, building_up = false, gate_high = false, surplus = false;
    double reset_h = 0;
    std::optional<PlainPlace> place;
    if (heater != nullptr) place.emplace(*heater);
    PlainSource source(s);
    using From = PlainSource::From;
    // The inverter's loss: at no load what it draws idle, which it never falls under; below a tenth of the
    // rating the extra loss grows evenly with the load.
    auto const& inv = s.inverter;
    auto const loss_w = [&](double ac_w) {
        double const p = ac_w / inv.rated_power_w;
        double const curve_w = inv.rated_power_w * (inv.k1 * p + inv.k2 * p * p) +
                               (p < 0.1 ? 10 * p * inv.extra_w : inv.extra_w);
        return inv.idle_w + std::max(curve_w, 0.0);
    };

    for (int i = 0; i < hours; ++i) {
        auto const h = static_cast<std::size_t>((first_hour + i) % sim::hours_per_year);
        double const pv = std::min(in.array_power_w[h] * s.controller_efficiency, s.controller_limit_w);
        double const load_w = in.load_w[h] + (place ? place->begin_hour(in.ambient_c[h]) : 0);
        wet.begin_hour(first_hour + i, in);
        auto const in_hours = [&](int from, int until) {
            int const clock = (first_hour + i) % 24;
            if (from == 0 && until == 0) return false;
            return from < until ? clock >= from && clock < until : clock >= from || clock < until;
        };
        double uneven_w = in.leg_imbalance_w.empty() ? 0 : in.leg_imbalance_w[h];
        if (phase_w != nullptr) uneven_w = inv.rated_power_w - carried_by_phases_w(inv, (*phase_w)[h]);
        for (int k = 0; k < 3600 * per_second; ++k) {
            double const t = k * dt, now = first_hour + i + t / 3600.0;
            // What runs, or is switched on without power.
            bool const from_outside = source.on_backup();
            double asked_w = (was_running || (!from_outside && was_wanted) ? peak_w : 0) +
                             (was_filling || (!from_outside && fill_was_wanted) ? fill_peak_w : 0);
            double const beside_w = from_outside ? source.limit_w() - asked_w : 0;
            asked_w += beside_w > 0 ? std::min(load_w, beside_w) : load_w;
            source.look(now, e, asked_w, uneven_w, sum);
            bool const on_backup = source.on_backup(), changed = source.changed();
            double const clock_h = std::fmod(now, 24.0);
            if (k == 0) {  // decided when the hour begins
                bool const warned = source.warned();
                surplus = s.cistern &&
                          (warned || (!on_backup &&
                                      (in.array_power_w[h] >= s.cistern->sun_above_w ||
                                       (cap > 0 && e / cap >= s.cistern->battery_above_soc) ||
                                       in_hours(s.cistern->fill_hours.from, s.cistern->fill_hours.until))));
                wet.fills_trough(
                    s.trough &&
                    (warned ||
                     (!on_backup && ((cap > 0 && e / cap >= s.trough->fill_battery_above) ||
                                     in_hours(s.trough->fill_hours.from, s.trough->fill_hours.until)))));
            }
            if (w <= w_in) closed = true;
            double const draw = wet.draw_m3_s(t);
            if (w >= w_out && !(s.constant_pressure && draw >= s.pump_at_level[0].sleep_flow_m3_s))
                closed = false;

            // The pressure switch acts within a second: the pump runs for this share of it. Else each cycle
            // would be longer by a second's water, and after a hundred cycles the two would be out of phase.
            double share = 1;
            if (!closed && !s.constant_pressure && !gravity && w - draw * dt <= w_in) {
                closed = true;
                share = 1 - (w - w_in) / (draw * dt);
            }

            if (source.from() == From::inverter && e <= s.battery.min_soc * cap) source.switch_off(now);
            From const from = source.from();
            bool const through = from == From::grid || from == From::generator;
            double const limit_w = source.limit_w();
            // The low-pressure cutoff, and the lever that someone holds until cut-in.
            if (s.cutoff) {
                if (locked_out && now >= reset_h) locked_out = false, building_up = true;
                if (building_up && w >= w_in) building_up = false;
                if (!locked_out && !building_up && w <= w_cutoff) {
                    locked_out = true;
                    reset_h = reset_after(*s.cutoff, now);
                    sum.cutoffs += 1;
                }
                if (locked_out) closed = false;
            }
            // The gate of the well pump: by clock, by SOC with its band, by the surplus of the array.
            bool gate_open = true;
            if (s.pump_gate) {
                auto const& gate = *s.pump_gate;
                gate_high = gate_high ? e > (gate.battery_above - gate.battery_band) * cap
                                      : e >= gate.battery_above * cap;
                bool const by_clock = gate.from_h == gate.until_h ? false
                                      : gate.from_h < gate.until_h
                                          ? clock_h >= gate.from_h && clock_h < gate.until_h
                                          : clock_h >= gate.from_h || clock_h < gate.until_h;
                gate_open = on_backup || gate_high || by_clock || pv - load_w >= gate.surplus_above_w;
            }
            bool const may_run = (s.cistern || gate_open) && closed &&
                                 wet.pressure_pump_has_water(was_running) &&
                                 (was_running || rest_s >= s.motor.min_rest_s);
            bool const running = !gravity && may_run && peak_w <= limit_w;
            if (s.cutoff && s.cutoff->by_hand && building_up && !running && rest_s >= s.motor.min_rest_s) {
                building_up = false;
                locked_out = true;
                reset_h = reset_after(*s.cutoff, now);
            }
            if (running && (!was_running || changed)) {
                if (!gravity) sum.pump_starts += 1;
                start_left_j += s.motor.start_extra_j;
            }
            rest_s = running ? 0 : rest_s + dt;
            was_running = running;
            was_wanted = !gravity && may_run;
            filling = wet.filling_called(filling, surplus);
            fill_was_wanted = gate_open && filling && wet.well_ready(was_filling);
            bool const fills = fill_was_wanted && fill_peak_w <= limit_w - (running ? peak_w : 0);
            if (fills && (!was_filling || changed)) {
                fill_start_left_j += s.cistern->fill_motor.start_extra_j;
                if (gravity) sum.pump_starts += 1;
            }
            was_filling = fills;
            double room_w = limit_w - (running ? peak_w : 0) - (fills ? fill_peak_w : 0);
            double const standby_w = s.constant_pressure ? s.pump_at_level[0].standby_w : 0;
            double const asleep_w = !running && standby_w <= room_w ? standby_w : 0;
            room_w -= asleep_w;
            double const load = std::min(load_w, std::max(room_w, 0.0));
            if (place) place->step(load_w > 0 ? load / load_w : 1, dt);
            PumpNow now_pump = running ? wet.pump_now(w, w_out, draw) : PumpNow{};
            double const rise = (now_pump.flow_m3_s - draw) * dt;
            bool const opens = running && !s.constant_pressure && rise > 0 && w + rise > w_out;
            if (opens) share = (w_out - w) / rise;
            now_pump.flow_m3_s *= share;
            now_pump.power_w *= share;
            FillPointNow const now_fill = fills ? wet.fill_now() : FillPointNow{};
            // A start is over within a second.
            double const start_w = running ? std::exchange(start_left_j, 0.0) / dt : 0;
            double const fill_start_w = fills ? std::exchange(fill_start_left_j, 0.0) / dt : 0;
            double const ac = load + asleep_w + now_pump.power_w + start_w + now_fill.power_w + fill_start_w;
            sum.ac_served_kwh += ac * dt / 3.6e6;

            double dc = s.dc_standby_w;
            if (from == From::inverter) dc += ac + loss_w(ac);
            double const drawn_w =
                through ? ac / inv.pass_through_efficiency + std::min(source.own_draw_w(), source.source_w())
                        : ac;
            if (source.engine_runs()) sum.generator_h += dt / 3600;
            double charger = 0;
            // Up to a billionth above its level, so that a rule at the same level is met; there it gives what
            // battery and DC side lose.
            double const level = std::min(source.charge_to() * (1 + 1e-9), 1.0) * cap;
            double const fill =
                (level - e + s.battery.self_discharge_per_h * e * dt / 3600) / s.battery.charge_efficiency;
            if (level > 0 && e <= level)
                charger = std::min({s.charger.dc_power_limit_w,
                                    std::max(source.source_w() - drawn_w, 0.0) * s.charger.efficiency,
                                    std::max(1e3 * s.battery.charge_limit_kw + dc - pv, 0.0),
                                    std::max(fill * 3.6e6 / dt + dc - pv, 0.0)});
            double const into = std::min(pv + charger - dc, 1e3 * s.battery.charge_limit_kw);
            double const backup_kwh = through || from == From::straight
                                          ? (drawn_w + charger / s.charger.efficiency) * dt / 3.6e6
                                          : 0;
            if (through) sum.pass_through_kwh += (drawn_w - ac) * dt / 3.6e6;
            (from == From::generator ? sum.generator_kwh : sum.grid_kwh) += backup_kwh;
            double taken = into * dt / 3.6e6;
            // The array gives what the DC side and the battery take, and the charger the rest.
            double const room_kwh = (cap - e) / s.battery.charge_efficiency;
            double const sun_w = taken > 0 ? std::min(pv, dc + std::min(into, room_kwh * 3.6e6 / dt)) : pv;
            if (taken > 0) {
                taken = std::min(taken, (cap - e) / s.battery.charge_efficiency);
                sum.battery_in_kwh += taken;
                e += taken * s.battery.charge_efficiency;
            } else {
                sum.battery_out_kwh -= taken;
                e += taken / s.battery.discharge_efficiency;
            }
            e -= s.battery.self_discharge_per_h * e * dt / 3600;
            e = std::clamp(e, 0.0, cap);

            double given;
            if (gravity) {
                given = wet.cistern_step(now_fill.flow_m3_s * dt, draw * dt, true, sum);
            } else {
                given = std::min(draw * dt, w + now_pump.flow_m3_s * dt);
                w += now_pump.flow_m3_s * dt - given;
                if (s.cistern) wet.cistern_step(now_fill.flow_m3_s * dt, now_pump.flow_m3_s * dt, false, sum);
            }
            if (opens) closed = false;
            double const pumped = s.cistern ? now_fill.flow_m3_s * dt : now_pump.flow_m3_s * dt;
            sum.pumped_m3 += pumped;
            if (fills) sum.fill_run_h += dt / 3600;
            wet.well_step(s.cistern ? fills : running, pumped, dt, sum);
            sum.delivered_m3 += wet.trough_step(given, draw, dt);
            if (record == nullptr) continue;
            double const motor_w = now_pump.power_w + start_w + now_fill.power_w + fill_start_w;
            seen.array_kwh += sun_w / s.controller_efficiency * dt / 3.6e6;
            seen.pump_kwh += motor_w * dt / 3.6e6;
            seen.load_kwh += (ac - motor_w) * dt / 3.6e6;
            seen.backup_kwh += backup_kwh;
            if ((k + 1) % (record_s * per_second) != 0) continue;
            seen.soc = e / cap;
            seen.delivered_m3 = sum.delivered_m3 - std::exchange(delivered_before, sum.delivered_m3);
            seen.starts = sum.pump_starts - std::exchange(starts_before, sum.pump_starts);
            record->push_back(std::exchange(seen, {}));
        }
        wet.end_hour(sum);
        if (place) place->end_hour();
    }
    if (place) sum.coldest_place_c = place->coldest_c(), sum.freezing_h = place->freezing_h();
    return sum;
}

}  // namespace holdwater::test
