#include "sim/batch/lane_year.hpp"

#include <algorithm>
#include <cmath>

#include "sim/year/findings.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {
namespace {

// The figures of water and pump.
Summary water_summary(LaneRun const& d, WaterYear const& water) {
    Summary s = water.summary;
    if (d.other_starts) s.max_starts_per_day = 0;
    for (std::size_t day = 0; d.other_starts && day < d.extra_starts.size(); ++day) {
        s.pump_starts += d.extra_starts[day];
        s.max_starts_per_day = std::max(s.max_starts_per_day, water.starts_of_day[day] + d.extra_starts[day]);
    }
    s.pump_run_h += d.more_run_h;
    s.water_delivered_m3 += d.more_delivered_m3;
    s.water_short_m3 += d.more_unmet_m3;
    s.demand_met_fraction = s.water_demand_m3 > 0 ? s.water_delivered_m3 / s.water_demand_m3 : 1;
    s.water_residual_m3 += d.more_pumped_m3 - d.more_delivered_m3;
    if (d.own_water) s.water_residual_m3 -= d.own_water->tank.tank_m3 - water.state.back().tank.tank_m3;
    double const shortest_run_s = sim::shortest_run_s(water, d.own);
    s.shortest_run_s = std::isfinite(shortest_run_s) ? shortest_run_s : 0;
    if (!d.other_shortage_hours) return s;
    ShortageHours dry;
    for (std::size_t h = 0; h < water.hours.size(); ++h) {
        WaterYear::Hour const& w = water.hours[h];
        dry.add(d.apart[h] != 0 ? d.apart[h] == 2 : w.unmet_m3 > some_water_m3, w.demand_m3 > 0);
    }
    s.shortage_hours = dry.hours;
    s.longest_shortage_h = dry.longest_h;
    return s;
}

// Number of quick hours in which the start of a small load is too much; see load_start_over.
double load_starts_over_h(LaneRun const& d, WaterYear const& water, Clock const& clock) {
    System const& s = d.system;
    LoadPeaks const& peaks = d.digest.inputs->peaks();
    if (peaks.start_va == 0 || s.inverter.surge.empty()) return 0;
    // In most designs the largest start fits in addition to everything else.
    if (water.standing_w == 0 &&
        std::hypot(peaks.load_w + water.running_w + s.motor.start_power_w, peaks.load_var) + peaks.start_va <
            (models::surge_va(s.inverter, 1) - peaks.leg_imbalance_w) * (1 - 1e-9))
        return 0;
    double over_h = 0;
    for (std::size_t at = 0; at < water.hours.size(); ++at) {
        if (d.apart[at] != 0) continue;
        auto const h = (static_cast<std::size_t>(clock.first_hour) + at) % hours_per_year;
        HourRecord r;
        r.pump_kw = water.hours[at].pump_kwh;
        r.pump_run_h = water.hours[at].run_h;
        r.load_served_kw = 1e-3 * d.digest.load_w[h];
        if (load_start_over(s, d.inputs, h, r)) over_h += 1;
    }
    return over_h;
}

}  // namespace

Summary lane_summary(LaneRun const& d, WaterYear const& water, Clock const& clock, LaneSums const& lane) {
    HourRecord const& c = d.alone;
    double const hours = clock.hours, quick_hours = hours - d.alone_hours;
    double const capacity_kwh = d.system.battery.capacity_kwh;
    // For the quick hours: the sums of all hours minus those of the other hours.
    double const array_kwh =
        d.system.array_factor * d.digest.array_kwh - (c.pv_available_kw - c.array_window_loss_kw);
    double const load_kwh = d.digest.load_kwh - c.load_demand_kw;
    double const pump_kwh = water.pump_kwh - d.supplied_pump_kwh;
    double const inverter_dc_kwh = lane.inverter_dc_kwh - d.supplied_inverter_kwh;
    double const charged_kwh = lane.charged_kwh, discharged_kwh = lane.discharged_kwh;
    double const standby_kwh = 1e-3 * d.system.dc_standby_w * quick_hours;
    double const sun_kwh = inverter_dc_kwh + standby_kwh + charged_kwh - discharged_kwh;
    double const used_kwh = sun_kwh / d.system.controller_efficiency;
    Summary s = water_summary(d, water);
    s.pv_available_kwh = d.system.array_factor * d.digest.available_kwh;
    s.pv_used_kwh = used_kwh + c.pv_used_kw;
    s.pv_curtailed_kwh = array_kwh - used_kwh + c.pv_curtailed_kw;
    s.battery_in_kwh = charged_kwh + c.battery_charge_kw;
    s.battery_out_kwh = discharged_kwh + c.battery_discharge_kw;
    s.battery_loss_kwh = battery_loss_kwh(d.system.battery, charged_kwh, discharged_kwh, lane.self_loss_kwh) +
                         c.battery_loss_kw;
    s.battery_equivalent_cycles = capacity_kwh > 0 ? s.battery_out_kwh / capacity_kwh : 0;
    s.soc_min = d.supply.soc_min();
    s.soc_mean = capacity_kwh > 0 ? lane.stored_sum_kwh / capacity_kwh / hours : 0;
    s.ac_served_kwh = load_kwh + pump_kwh + c.load_served_kw + c.pump_kw;
    s.load_unserved_kwh = c.load_unserved_kw;
    s.pump_energy_kwh = pump_kwh + c.pump_kw;
    s.inverter_loss_kwh = inverter_dc_kwh - load_kwh - pump_kwh + c.inverter_loss_kw;
    check_inverter_loss(s.inverter_loss_kwh, load_kwh + pump_kwh, clock.first_hour);
    s.pass_through_loss_kwh = c.pass_through_loss_kw;
    s.grid_kwh = c.grid_kw;
    s.grid_peak_kwh = d.grid_peak_kwh;
    s.grid_low_kwh = d.grid_low_kwh;
    s.generator_kwh = c.generator_kw;
    s.generator_run_h = c.generator_run_h;
    s.generator_fuel_l = c.generator_fuel_l;
    s.generator_starts = d.supply.generator().starts();
    s.transfers = d.supply.transfers();
    double const other_kwh = used_kwh - sun_kwh + c.controller_loss_kw + c.charger_loss_kw + standby_kwh +
                             c.standby_kw + c.heater_kw;
    s.energy_residual_kwh = energy_residual_kwh(
        s, other_kwh, lane.stored_kwh - d.system.start_soc * d.system.battery.capacity_kwh);
    return s;
}

Findings lane_findings(LaneRun const& d, WaterYear const& water, Clock const& clock,
                       std::vector<double> const& stored_kwh, Summary const& summary) {
    auto const pump = pump_year(water, d.own);
    Findings f;
    find_pump(f, d.system, d.system.motor, pump.marks, pump.starts_s, clock);
    f.start_heating_index = pump.marks.start_heating_index;
    f.longest_day_run_h = pump.longest_day_run_h;
    f.peak_draw_m3_s = d.digest.peak_draw_m3_s;
    f.load_starts_over_h = d.load_starts_over_h + load_starts_over_h(d, water, clock);
    find_supply(f, d.supply);
    std::vector<double> soc{d.system.start_soc};
    soc.reserve(stored_kwh.size() + 1);
    double const capacity_kwh = d.system.battery.capacity_kwh;
    for (double const kwh : stored_kwh) soc.push_back(kwh / capacity_kwh);
    find_battery(f, d.system, soc, d.supply.battery().temperature_c(), summary.battery_out_kwh);
    return f;
}

}  // namespace holdwater::sim
