#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <vector>

#include "tests/sim/random_system.hpp"

/// Seeded random designs with every feature of the water side.
namespace holdwater::test {

// Curves of a pump over twelve bands of water level: the deeper, the less flow.
inline std::vector<models::DriveCurve> level_curves(models::TankFillCurve const& base, std::size_t levels) {
    std::vector<models::DriveCurve> curves(levels);
    for (std::size_t i = 0; i < levels; ++i) {
        auto nodes = base.nodes;
        for (auto& n : nodes) n.flow_m3_s *= 1 - 0.6 * static_cast<double>(i) / static_cast<double>(levels);
        curves[i].full_speed = models::fill_curve_from_nodes(nodes, base.cut_in_m3, base.cut_out_m3);
    }
    return curves;
}

inline sim::WellSystem random_well(Draw& draw) {
    models::WellParameters w;
    for (double& level : w.static_level_m) level = draw(10, 14);
    w.intake_depth_m = draw(20, 60);
    w.cover_m = draw(0, 3);
    w.casing_inside_diameter_m = draw(0.1, 0.3);
    w.specific_capacity_m2_s = draw(0.2e-5, 10e-5);
    if (draw.coin()) w.yield_limit_m3_s = draw(0.02e-3, 0.4e-3);
    w.restart_delay_s = draw(60, 7200);
    w.restart_tries = draw.coin() ? -1 : 20;
    sim::WellSystem well;
    well.casing = w;
    if (draw.coin()) well.aquifer = models::AquiferParameters{draw(1e-5, 1e-3), 1e-4};
    for (int i = 0; i <= 12; ++i)
        well.band_edges_m.push_back(10 + (w.intake_depth_m - w.cover_m - 10) * i / 12);
    return well;
}

inline sim::CisternSystem random_cistern(Draw& draw, std::size_t levels) {
    sim::CisternSystem c;
    auto& p = c.cistern;
    p.capacity_m3 = draw(0.3, 10);
    p.dead_m3 = draw(0, 0.1) * p.capacity_m3;
    p.reserve_m3 = draw.coin() ? 0 : draw(0, 0.3) * p.capacity_m3;
    p.fill_start_m3 = draw(0.45, 0.6) * p.capacity_m3;
    p.fill_stop_m3 = draw(0.8, 1) * p.capacity_m3;
    p.fill_enough_m3 = draw.coin() ? 0 : draw(0.65, 0.75) * p.capacity_m3;
    double const rule = draw(0, 3);
    c.rule = rule < 1   ? models::FillRule::level
             : rule < 2 ? models::FillRule::surplus_or_low
                        : models::FillRule::surplus_only;
    c.sun_above_w = draw(100, 2000);
    c.battery_above_soc = draw(0.5, 1);
    if (draw.coin()) c.fill_hours = {static_cast<int>(draw(0, 24)), 24};
    c.fill_band_m3 = 0.1 * p.capacity_m3;
    c.start_m3 = draw(0, p.fill_stop_m3);
    c.resume_m3 = models::usable_from_m3(p) + 0.02 * p.capacity_m3;
    c.gravity = draw.coin();
    double const q = draw(0.1e-3, 0.9e-3);
    for (std::size_t i = 0; i < levels; ++i)
        c.filling.push_back({q * (1 - 0.5 * static_cast<double>(i) / static_cast<double>(levels)), 700});
    c.fill_motor.start_power_w = 5000;
    c.fill_motor.start_extra_j = 2000;
    return c;
}

// A cutoff below or above the precharge, reset by someone or by itself.
inline models::LowPressureCutoff random_cutoff(Draw& draw, models::PressureTankParameters const& tank) {
    models::LowPressureCutoff c;
    c.cutoff_kpa = draw.coin() ? 0.5 * tank.precharge_kpa : draw(tank.precharge_kpa, tank.cut_in_kpa);
    c.by_hand = draw.coin();
    c.reset_after_h = draw(1.0 / 60, 2);
    c.attended_from_h = draw(0, 12);
    c.attended_to_h = c.attended_from_h + draw(1, 24);
    if (draw.coin()) c.visit_every_h = draw(24, 100);
    return c;
}

// The water side in every combination: well, drive, cistern with booster or by gravity, trough, rest timer.
inline sim::System random_wet_system(Draw& draw) {
    auto s = random_system(draw);
    s.motor.start_power_w = 5000;
    s.motor.start_extra_j = draw(0, 4000);
    if (draw.coin()) s.motor.min_rest_s = draw(5, 900);
    s.motor.starts_limit_per_day = 100;
    if (draw.coin()) s.well = random_well(draw);
    std::size_t const levels = s.well ? 12 : 1;
    if (draw.coin()) s.cistern = random_cistern(draw, levels);
    bool const drive = draw.coin();
    if (drive || (s.well && !s.cistern)) s.pump_at_level = level_curves(s.fill, s.cistern ? 1 : levels);
    s.constant_pressure = drive;
    for (auto& c : s.pump_at_level) {
        if (!drive) break;
        c.sleep_flow_m3_s = 0.1e-3;
        c.standby_w = 15;
        c.hold_flow_m3_s = {0, models::flow_at_m3_s(c.full_speed, s.fill.cut_out_m3)};
        c.hold_power_w = {300, 1080};
    }
    if (draw.coin()) {
        s.trough = models::TroughParameters{draw(0.2, 2), 0.15, draw(0.05e-3, 0.4e-3)};
        if (draw.coin()) s.trough->fill_battery_above = draw(0.3, 1);
        if (draw.coin()) s.trough->fill_hours = {static_cast<int>(draw(0, 24)), 24};
        s.trough->fill_band_m3 = draw(0.001, 0.05);
    }
    if (draw.coin() && !drive) s.cutoff = random_cutoff(draw, s.tank);
    if (draw(0, 1) < 0.25) {
        auto& gate = s.pump_gate.emplace();
        if (draw.coin()) gate.from_h = draw(0, 12), gate.until_h = draw(12, 24);
        if (draw.coin()) gate.battery_above = draw(0.2, 0.9);
        if (draw.coin()) gate.surplus_above_w = draw(0, 2000);
    }
    return s;
}

// Two uses with their own taps, and what the animals drink where there is a trough.
inline sim::HourlyInputs random_wet_inputs(Draw& draw, sim::System const& s, int hours) {
    auto in = random_inputs(draw, hours);
    if (s.trough) in.trough_m3.assign(in.demand_m3.size(), 0);
    for (std::size_t h = 0; h < in.demand_m3.size(); ++h) {
        in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
        double const tap = std::max(in.tap_flow_m3_s[h], in.demand_m3[h] / 3600);
        if (in.demand_m3[h] > 0 && draw.coin()) {
            // Two uses with a pause before and between them, the second one to the end of the hour.
            double const part = draw(0.1, 0.9), flow = std::max(2.5 * in.demand_m3[h] / 3600, 1e-5),
                         first_s = part * in.demand_m3[h] / flow,
                         second_s = (1 - part) * in.demand_m3[h] / flow,
                         pause_s = 0.3 * (3600 - first_s - second_s);
            in.draws.push_back({pause_s, 0});
            in.draws.push_back({pause_s + first_s, flow});
            in.draws.push_back({3600 - second_s, 0});
            in.draws.push_back({3600, flow});
        } else if (in.demand_m3[h] > 0) {
            double const open_s = in.demand_m3[h] / tap;
            in.draws.push_back({0.5 * open_s, tap * 1.5});
            in.draws.push_back({open_s, tap * 0.5});
        }
        if (!s.trough || h >= static_cast<std::size_t>(hours)) continue;
        in.trough_m3[h] = draw.coin() ? 0 : draw(0, 0.2);
        in.demand_m3[h] += in.trough_m3[h];
    }
    in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
    return in;
}

}  // namespace holdwater::test
