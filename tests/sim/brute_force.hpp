#pragma once

#include <algorithm>

#include "models/pressure_tank.hpp"
#include "models/pump_cycle.hpp"
#include "sim/system.hpp"

namespace holdwater::test {

/// What the plain loop below adds up.
struct BruteForce {
    double delivered_m3 = 0, battery_in_kwh = 0, battery_out_kwh = 0, generator_h = 0, grid_kwh = 0,
           pump_starts = 0, load_served_kwh = 0;
};

/// The same equations as the year loop, stepped forward at one second with forward Euler and thresholds
/// looked at once a second. No events, no closed forms, nothing shared with sim/ but the parameter structs:
/// what a careful person would write first. Slow; for tests only.
inline BruteForce brute_force(sim::System const& s, sim::HourlyInputs const& in, int first_hour, int hours) {
    BruteForce sum;
    double const cap = s.bank.capacity_kwh, dt = 1;
    double const w_in = models::stored_water_m3(s.tank, s.tank.cut_in_kpa);
    double const w_out = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    double peak_w = 0;
    for (auto const& n : s.fill.nodes)
        if (n.water_m3 <= w_out) peak_w = std::max(peak_w, n.power_w);
    double e = s.start_soc * cap, w = w_out;
    bool closed = false, was_running = false, on_backup = false, off = false, calling = false, engine = false,
         cooling = false;
    double since_h = 0, cool_end_h = 0, stopped_h = -1e9;

    for (int i = 0; i < hours; ++i) {
        auto const h = static_cast<std::size_t>((first_hour + i) % sim::hours_per_year);
        double const pv = std::min(in.array_power_w[h] * s.controller_efficiency, s.controller_limit_w);
        double const mean_flow = in.demand_m3[h] / 3600, tap = std::max(in.tap_flow_m3_s[h], mean_flow);
        double const open_s = tap > 0 ? in.demand_m3[h] / tap : 0;
        for (int t = 0; t < 3600; ++t) {
            double const now = first_hour + i + t / 3600.0;
            bool grid_up = true;
            for (auto const& o : s.outages)
                if (now >= o.start_h && now < o.end_h) grid_up = false;
            if (off && e >= s.rules.restart_above * cap) off = false;
            calling = calling
                          ? off || e < s.rules.return_above * cap
                          : s.rules.backup != sim::Backup::none && (off || e <= s.rules.transfer_below * cap);
            // The set: called, warming up, carrying, kept on for its minimum run, cooling down.
            auto const& g = s.generator_operation.run;
            bool const on_set = s.rules.backup == sim::Backup::generator;
            if (on_set && !engine && calling && now >= stopped_h + g.min_rest_h) {
                engine = true;
                cooling = false;
                since_h = now;
            }
            if (engine && !cooling && !calling && now >= since_h + std::max(g.min_run_h, g.warm_up_h)) {
                cooling = true;
                cool_end_h = now + g.cool_down_h;
            }
            if (engine && cooling && now >= cool_end_h) {
                engine = false;
                stopped_h = now;
            }
            bool const loaded = engine && !cooling && now >= since_h + g.warm_up_h;
            bool const present = on_set ? loaded : s.rules.backup == sim::Backup::grid && grid_up;
            bool const was_on_backup = on_backup;
            on_backup = present && (calling || on_set);
            bool const changed = on_backup != was_on_backup;
            if (w <= w_in) closed = true;
            if (w >= w_out) closed = false;

            double limit_w = !on_backup ? s.inverter.rated_power_w
                             : on_set   ? s.generator->rated_power_w
                                        : s.rules.backup_limit_w;
            if (!on_backup && e <= s.bank.floor_soc * cap) off = true;
            if (off && !on_backup) limit_w = 0;
            bool const running = closed && peak_w <= limit_w;
            if (running && (!was_running || changed)) sum.pump_starts += 1;
            was_running = running;
            double const load = std::min(in.load_w[h], std::max(limit_w - (running ? peak_w : 0), 0.0));
            double const ac = load + (running ? models::power_at_w(s.fill, w) : 0);
            sum.load_served_kwh += ac * dt / 3.6e6;

            double dc = s.dc_standby_w;
            if (!on_backup && !off)
                dc += s.inverter.idle_w +
                      (1 + s.inverter.k1 + s.inverter.k2 * ac / s.inverter.rated_power_w) * ac;
            if (engine) sum.generator_h += dt / 3600;
            double charger = 0;
            if (on_backup && s.rules.charge_to > 0 && e < s.rules.charge_to * cap)
                charger = std::min({s.charger.dc_power_limit_w, (limit_w - ac) * s.charger.efficiency,
                                    std::max(1e3 * s.bank.charge_limit_kw + dc - pv, 0.0)});
            double const into = std::min(pv + charger - dc, 1e3 * s.bank.charge_limit_kw);
            if (on_backup) {
                double const backup_w = ac + charger / s.charger.efficiency;
                if (s.rules.backup == sim::Backup::grid) sum.grid_kwh += backup_w * dt / 3.6e6;
            }
            double taken = into * dt / 3.6e6;
            if (taken > 0) {
                taken = std::min(taken, (cap - e) / s.bank.charge_efficiency);
                sum.battery_in_kwh += taken;
                e += taken * s.bank.charge_efficiency;
            } else {
                sum.battery_out_kwh -= taken;
                e += taken / s.bank.discharge_efficiency;
            }
            e -= s.bank.self_discharge_per_h * e * dt / 3600;
            e = std::clamp(e, 0.0, cap);

            double const draw = t < open_s ? tap * std::min(1.0, open_s - t) : 0;
            double const flow = running ? models::flow_at_m3_s(s.fill, w) : 0;
            double const given = std::min(draw * dt, w + flow * dt);
            sum.delivered_m3 += given;
            w += flow * dt - given;
        }
    }
    return sum;
}

}  // namespace holdwater::test
