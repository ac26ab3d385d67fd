#pragma once

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "models/water/pressure_tank.hpp"
#include "sim/year/simulate.hpp"
#include "tests/cvode/plant_day.hpp"

// The same plant as the program knows it, and the figures of both.
namespace holdwater::test {

/// Everything else is switched off: no temperature, no voltage, no motor start.
inline sim::System as_system(plant_day::Plant const& p) {
    double const none = std::numeric_limits<double>::infinity();
    sim::System s;
    s.battery = {p.capacity_kwh, p.charge_efficiency,   p.discharge_efficiency, p.min_soc, p.charge_limit_kw,
                 none,           p.self_discharge_per_h};
    s.battery_behavior.store.kind = models::BatteryKind::two_well;
    s.battery_behavior.store.available_fraction = p.available_fraction;
    s.battery_behavior.store.exchange_per_h = p.exchange_per_h;
    s.start_soc = p.start_soc;
    s.controller_efficiency = p.controller_efficiency;
    s.controller_limit_w = p.controller_limit_w;
    s.dc_standby_w = p.standby_w;
    s.inverter.rated_power_w = p.rated_w;
    s.inverter.idle_w = p.idle_w;
    s.inverter.k1 = p.k1;
    s.inverter.k2 = p.k2;
    s.inverter.extra_w = p.extra_w;
    s.inverter.pass_through_draw_w = p.pass_through_draw_w;
    s.inverter.pass_through_efficiency = p.pass_through_efficiency;
    s.charger = {p.charger_limit_w, p.charger_efficiency, 1};
    s.rules.backup = p.grid ? sim::Backup::grid : sim::Backup::none;
    s.rules.transfer_below = p.transfer_below;
    s.rules.return_above = p.return_above;
    s.rules.charge_to = p.charge_to;
    s.rules.restart_above = p.restart_above;
    s.rules.backup_limit_w = p.grid_limit_w;
    s.rules.accept_delay_s = p.accept_delay_s;
    for (auto const& o : p.outages) s.outages.push_back({o.from_h, o.until_h});
    s.motor.min_rest_s = p.min_rest_s;
    // A tank whose cut-in and cut-out hold the plant's water.
    s.tank.precharge_kpa = 150;
    s.tank.cut_in_kpa = 0;
    double const share = p.cut_in_m3 / p.cut_out_m3;
    s.tank.cut_out_kpa = 400;
    double const air_kpa = s.tank.atmosphere_kpa;
    double const full = 1 - (150 + air_kpa) / (400 + air_kpa);
    s.tank.total_volume_m3 = p.cut_out_m3 / full;
    s.tank.cut_in_kpa = (150 + air_kpa) / (1 - share * full) - air_kpa;
    double const in = models::stored_water_m3(s.tank, s.tank.cut_in_kpa),
                 out = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
    auto const curve = [&](double flow_factor, double power_factor) {
        std::vector<models::FillNode> nodes;
        for (auto const& n : p.nodes)
            nodes.push_back({n.water_m3 == p.cut_in_m3    ? in
                             : n.water_m3 == p.cut_out_m3 ? out
                                                          : n.water_m3,
                             n.flow_m3_s * flow_factor, n.power_w * power_factor});
        return models::fill_curve_from_nodes(nodes, in, out);
    };
    s.fill = curve(1, 1);
    if (!p.well) return s;
    sim::WellSystem well;
    models::WellParameters casing;
    casing.static_level_m.fill(p.static_level_m);
    casing.intake_depth_m = p.trip_depth_m + 1;
    casing.cover_m = 1;
    casing.casing_inside_diameter_m = std::sqrt(p.casing_area_m2 / 0.78539816339744831);
    casing.specific_capacity_m2_s = p.specific_capacity_m2_s;
    casing.yield_limit_m3_s = p.yield_m3_s;
    casing.restart_delay_s = p.restart_delay_s;
    casing.restart_tries = -1;
    well.casing = casing;
    std::size_t const bands = p.band_flow_factor.size();
    for (std::size_t i = 0; i <= bands; ++i)
        well.band_edges_m.push_back(p.first_edge_m + (p.trip_depth_m - p.first_edge_m) *
                                                         static_cast<double>(i) / static_cast<double>(bands));
    well.band_edges_m.back() = p.trip_depth_m;
    s.well = well;
    for (std::size_t i = 0; i < bands; ++i) {
        models::DriveCurve level;
        level.full_speed = curve(p.band_flow_factor[i], p.band_power_factor[i]);
        s.pump_at_level.push_back(level);
    }
    return s;
}

inline sim::HourlyInputs as_inputs(plant_day::Plant const& p) {
    auto const n = static_cast<std::size_t>(sim::hours_per_year);
    sim::HourlyInputs in;
    in.array_power_w.assign(n, 0);
    in.load_w = in.demand_m3 = in.tap_flow_m3_s = in.array_power_w;
    for (std::size_t h = 0; h < plant_day::hours; ++h) {
        in.array_power_w[h] = p.array_w[h];
        in.load_w[h] = p.load_w[h];
        in.demand_m3[h] = p.demand_m3[h];
        in.tap_flow_m3_s[h] = p.tap_flow_m3_s[h];
    }
    return in;
}

/// A figure by both, and the scale against which the difference is judged.
struct DayFigure {
    std::string name;
    double engine = 0, ode = 0, scale = 0;
    [[nodiscard]] double share() const { return std::abs(engine - ode) / scale; }
};

/// Energies against what went through the plant that day, volumes against what the pump gave or the taps
/// asked for, times against the day, levels against capacity, tank and drawdown.
/// `longest_step_s`: of the engine.
inline std::vector<DayFigure> day_figures(plant_day::Plant const& p, double longest_step_s = 3600) {
    auto const result = sim::simulate(as_system(p), as_inputs(p), {0, plant_day::hours, longest_step_s});
    auto const day = plant_day::integrate(p);
    sim::HourRecord const sum = sim::sum_of(result.hours);
    double array_kwh = 0, wanted_m3 = 0, load_kwh = 0;
    for (std::size_t h = 0; h < plant_day::hours; ++h)
        array_kwh += 1e-3 * p.array_w[h], wanted_m3 += p.demand_m3[h], load_kwh += 1e-3 * p.load_w[h];
    double const energy = array_kwh + load_kwh + p.capacity_kwh, water = wanted_m3 + p.cut_out_m3;
    std::vector<DayFigure> figures{
        {"PV used, kWh", sum.pv_used_kw, day.pv_used_kwh, energy},
        {"battery charged, kWh", sum.battery_charge_kw, day.charged_kwh, energy},
        {"battery discharged, kWh", sum.battery_discharge_kw, day.discharged_kwh, energy},
        {"inverter loss, kWh", sum.inverter_loss_kw, day.inverter_loss_kwh, energy},
        {"small loads, kWh", sum.load_served_kw, day.load_served_kwh, energy},
        {"pump, kWh", sum.pump_kw, day.pump_kwh, energy},
        {"grid, kWh", sum.grid_kw, day.grid_kwh, energy},
        {"pass-through loss, kWh", sum.pass_through_loss_kw, day.pass_through_loss_kwh, energy},
        {"charger loss, kWh", sum.charger_loss_kw, day.charger_loss_kwh, energy},
        {"on the grid, h", sum.backup_h, day.backup_h, 24},
        {"inverter off, h", sum.inverter_off_h, day.inverter_off_h, 24},
        {"pump runs, h", sum.pump_run_h, day.pump_run_h, 24},
        {"pumped, m3", sum.water_pumped_m3, day.pumped_m3, water},
        {"delivered, m3", sum.water_delivered_m3, day.delivered_m3, water},
        {"starts", sum.pump_starts, static_cast<double>(day.starts), 1},
        {"dry-run trips", result.findings.dry_run_trips, static_cast<double>(day.trips), 1}};
    if (p.well) figures.push_back({"inflow of the well, m3", sum.well_inflow_m3, day.inflow_m3, water});
    for (std::size_t h = 0; h < plant_day::hours; ++h) {
        std::string const at = " after hour " + std::to_string(h + 1);
        figures.push_back({"SOC" + at, result.hours[h].battery_soc, day.soc[h], 1});
        figures.push_back({"tank" + at, result.hours[h].tank_water_m3, day.tank_m3[h], p.cut_out_m3});
        if (p.well)
            figures.push_back({"depth of the water" + at, result.hours[h].well_level_m, day.well_depth_m[h],
                               p.trip_depth_m - p.static_level_m});
    }
    return figures;
}

}  // namespace holdwater::test
