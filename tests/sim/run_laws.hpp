#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "models/water/well.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::test {

/// The laws that a run of a design breaks, in words.
struct Trouble {
    std::vector<std::string> lines;
    void want(bool holds, std::string const& what) {
        if (!holds) lines.push_back(what);
    }
    void same(std::string const& what, double a, double b, double absolute, double relative) {
        want(std::abs(a - b) <= absolute + relative * std::abs(b), fmt::format("{}: {} and {}", what, a, b));
    }
};

/// Transfers, and switchings and trips of the inverter, within any hour of the clock: each of the four kinds
/// of them lasts at least a minute, but for a few at once when sources fail.
inline int most_events_in_an_hour(sim::RunResult const& result) {
    int most = 0, in_hour = 0, hour = -1;
    for (auto const& e : result.events) {
        if (e.kind != sim::EventKind::to_backup && e.kind != sim::EventKind::to_inverter &&
            e.kind != sim::EventKind::inverter_off && e.kind != sim::EventKind::inverter_on)
            continue;
        if (static_cast<int>(e.time_h) != hour) in_hour = 0, hour = static_cast<int>(e.time_h);
        most = std::max(most, ++in_hour);
    }
    return most;
}

/// The laws of every design: the balances of every hour close, values are finite and within bounds, and there
/// is a reason for everything that was not delivered.
inline void laws(sim::System const& s, sim::RunResult const& result, Trouble& trouble) {
    bool const gravity = s.cistern && s.cistern->gravity;
    double stored_kwh = s.start_soc * s.battery.capacity_kwh;
    double stored_m3 = (gravity ? 0 : s.fill.cut_out_m3) + (s.cistern ? s.cistern->start_m3 : 0) +
                       (s.trough ? s.trough->full_m3 : 0);
    double level_m = s.well ? s.well->casing->static_level_m[0] : 0;
    double worst_kwh = 0, worst_m3 = 0, lowest = 0, over_full = 0, starved = 0, not_finite = 0;
    double start_left_kwh = 0;
    std::string over_source;
    double over_source_kw = 0, over_discharge_kw = 0, over_charge_kw = 0, passed_free_kw = 0;
    double const source_kw =
        s.rules.backup == sim::Backup::none
            ? 0
            : 1e-3 * std::min(s.rules.backup == sim::Backup::generator ? s.generator->rated_power_w
                              : s.rules.second ? std::max(s.generator->rated_power_w, s.rules.backup_limit_w)
                                               : s.rules.backup_limit_w,
                              s.inverter.pass_through_va);
    // Of two sources either may have carried the hour.
    double const weaker_kw =
        s.rules.second
            ? std::min({source_kw, 1e-3 * s.rules.backup_limit_w, 1e-3 * s.generator->rated_power_w})
            : source_kw;
    for (auto const& r : result.hours) {
        double const energy = r.pv_used_kw + r.grid_kw + r.generator_kw - r.load_served_kw - r.pump_kw -
                              r.inverter_loss_kw - r.pass_through_loss_kw - r.charger_loss_kw -
                              r.controller_loss_kw - r.standby_kw - r.heater_kw - r.battery_loss_kw -
                              (r.battery_stored_kwh - stored_kwh);
        double const load = r.load_demand_kw - r.load_served_kw - r.load_unserved_kw;
        double const now_m3 = r.tank_water_m3 + r.cistern_water_m3 + r.trough_water_m3;
        double const water =
            r.water_pumped_m3 - r.water_delivered_m3 - r.water_spilled_m3 - (now_m3 - stored_m3);
        double const wanted = r.water_demand_m3 - r.water_delivered_m3 - r.water_short_m3;
        double const well = s.well ? r.well_inflow_m3 - r.water_pumped_m3 -
                                         models::casing_area_m2(*s.well->casing) * (level_m - r.well_level_m)
                                   : 0;
        for (double const x : {energy, load}) worst_kwh = std::max(worst_kwh, std::abs(x));
        for (double const x : {water, wanted, well}) worst_m3 = std::max(worst_m3, std::abs(x));
        for (auto const& field : sim::series_fields()) {
            if (!std::isfinite(r.*field.value)) not_finite = 1;
            if (field.name != "well_inflow_m3" && field.name != "tank_pressure_kpa" &&
                field.name != "battery_temperature_c")
                lowest = std::min(lowest, r.*field.value);
        }
        over_full = std::max(over_full, r.battery_stored_kwh - s.battery.capacity_kwh);
        // Straight on the grid, bypassed, nothing is limited. The limit is one of continuous power: a start
        // comes on top, and on its way to the motor it takes the inverter's pass-through loss like any load.
        double const starts_kwh =
            (r.pump_starts * (gravity ? s.cistern->fill_motor : s.motor).start_extra_j +
             r.fill_pump_starts * (s.cistern ? s.cistern->fill_motor.start_extra_j : 0)) /
            3.6e6;
        if (s.rules.bypass.empty() && !s.rules.by_hand)
            if (double const over_kw = r.grid_kw + r.generator_kw - source_kw * r.backup_h -
                                       (starts_kwh + start_left_kwh) / s.inverter.pass_through_efficiency;
                over_kw > over_source_kw) {
                over_source_kw = over_kw;
                over_source = fmt::format(
                    "{} kW over {} kW: loads {}, pump {}, inverter {}, charger lost {}, "
                    "{} starts, on the backup {} h",
                    over_kw, source_kw, r.load_served_kw, r.pump_kw, r.pass_through_loss_kw,
                    r.charger_loss_kw, r.pump_starts, r.backup_h);
            }
        // The limit holds for what loads, motors and the inverter's losses ask for. Standby, heater and the
        // inverter's no-load draw cannot be shed. A start goes through the inverter, whose losses are below
        // half of what it gives.
        double const not_shed_kw = r.standby_kw + r.heater_kw + 1e-3 * s.inverter.idle_w;
        over_discharge_kw =
            std::max(over_discharge_kw, r.battery_discharge_kw - s.battery.discharge_limit_kw - not_shed_kw -
                                            1.5 * (starts_kwh + start_left_kwh));
        start_left_kwh = starts_kwh;  // what of a start falls into the next hour
        over_charge_kw = std::max(over_charge_kw, r.battery_charge_kw - s.battery.charge_limit_kw);
        double const draw_kw = std::min(1e-3 * models::pass_through_draw_w(s.inverter), weaker_kw);
        passed_free_kw = std::max(passed_free_kw, draw_kw * r.pass_through_h - r.pass_through_loss_kw);
        if (r.limit_reason == 0) starved = std::max({starved, r.load_unserved_kw, r.water_short_m3});
        if (r.load_unserved_reason == 0) starved = std::max(starved, r.load_unserved_kw);
        if (r.water_short_reason == 0) starved = std::max(starved, r.water_short_m3);
        stored_kwh = r.battery_stored_kwh;
        stored_m3 = now_m3;
        level_m = r.well_level_m;
    }
    trouble.want(not_finite == 0, "a value is not finite");
    trouble.same("energy of an hour, kWh", worst_kwh, 0, 1e-9, 0);
    trouble.same("water of an hour, m3", worst_m3, 0, 1e-9, 0);
    trouble.want(lowest > -1e-9, fmt::format("below zero: {}", lowest));
    trouble.want(over_full < 1e-9, fmt::format("fuller than full: {} kWh", over_full));
    trouble.want(over_source_kw < 1e-9, "grid or generator over its limit: " + over_source);
    trouble.want(over_discharge_kw < 1e-9,
                 fmt::format("discharged over its limit: {} kW", over_discharge_kw));
    trouble.want(over_charge_kw < 1e-9, fmt::format("charged over its limit: {} kW", over_charge_kw));
    trouble.want(passed_free_kw < 1e-9, fmt::format("passed through for nothing: {} kW", passed_free_kw));
    trouble.want(result.summary.soc_min > -1e-12 && result.summary.soc_min <= 1 + 1e-12,
                 fmt::format("lowest state of charge {}", result.summary.soc_min));
    trouble.want(most_events_in_an_hour(result) <= 400,
                 fmt::format("{} events of the supply in one hour", most_events_in_an_hour(result)));
    trouble.want(starved < 1e-6, fmt::format("not supplied without a reason: {}", starved));
}

/// The laws of places with a heater: none is ever colder than the air, and what is said of one that froze
/// agrees with itself.
inline void frost_laws(sim::HourlyInputs const& in, sim::RunResult const& result, Trouble& trouble) {
    double most_h = 0;
    for (auto const& place : result.frozen) {
        auto const heated = std::find_if(in.heated.begin(), in.heated.end(),
                                         [&](auto const& h) { return h.name == place.name; });
        if (heated == in.heated.end()) return trouble.want(false, "a place without a heater froze");
        double air_c = heated->heater.thermostat_c;
        for (std::size_t i = 0; i < result.hours.size(); ++i)
            air_c = std::min(air_c, in.ambient_c[static_cast<std::size_t>(result.clock.first_hour) + i]);
        trouble.want(place.coldest_c >= air_c - 1e-9,
                     fmt::format("a place of {} degC in air of {}", place.coldest_c, air_c));
        trouble.want(place.coldest_c < heated->heater.freezes_below_c,
                     fmt::format("a place froze at {} degC", place.coldest_c));
        trouble.want(place.hours >= 1 && place.hours <= static_cast<double>(result.hours.size()) &&
                         place.first_h >= result.clock.first_hour,
                     fmt::format("{} hours of frost from hour {} on", place.hours, place.first_h));
        most_h = std::max(most_h, place.hours);
    }
    trouble.want(result.findings.freezing_h == most_h,
                 fmt::format("hours of frost {} and {}", result.findings.freezing_h, most_h));
}

}  // namespace holdwater::test
