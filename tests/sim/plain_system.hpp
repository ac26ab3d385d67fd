#pragma once

#include <cmath>
#include <limits>

#include "models/battery/energy_bucket.hpp"
#include "sim/base/system.hpp"

namespace holdwater::test {

/// A design reduced to round figures: constant inverter efficiency, constant pump flow and power, no standby,
/// no self-discharge, no backup. Each test changes what it is about.
inline sim::System plain_system() {
    sim::System s;
    double const infinity = std::numeric_limits<double>::infinity();
    s.battery = {10, 0.9, 0.9, 0.0, infinity, infinity, 0};
    s.start_soc = 0.5;
    s.controller_efficiency = 1;
    s.controller_limit_w = infinity;
    s.inverter.rated_power_w = 1e5;
    s.inverter.idle_w = 0;
    s.inverter.k1 = 1 / 0.9 - 1;
    s.inverter.k2 = 0;
    s.charger = {3000, 1, 1};
    s.rules.restart_above = 0.1;
    // A tank sized so that exactly 80 L lie between 200 and 400 kPa.
    s.tank.total_volume_m3 = 1;
    s.tank.precharge_kpa = 190;
    s.tank.cut_in_kpa = 200;
    s.tank.cut_out_kpa = 400;
    double const drawdown_m3 = models::drawdown_m3(s.tank);
    s.tank.total_volume_m3 = 0.080 / drawdown_m3;
    double const in = models::stored_water_m3(s.tank, 200), out = models::stored_water_m3(s.tank, 400);
    s.fill = models::fill_curve_from_nodes(
        {{0, 0.6e-3, 1200}, {in, 0.6e-3, 1200}, {out, 0.6e-3, 1200}, {1.1 * out, 0.6e-3, 1200}}, in, out);
    return s;
}

/// The same value in every hour of the year.
inline sim::HourlyInputs steady_inputs(double array_w, double load_w, double demand_m3_per_h,
                                       double tap_flow_m3_s) {
    auto const n = static_cast<std::size_t>(sim::hours_per_year);
    sim::HourlyInputs in;
    in.array_power_w.assign(n, array_w);
    in.load_w.assign(n, load_w);
    in.demand_m3.assign(n, demand_m3_per_h);
    in.tap_flow_m3_s.assign(n, tap_flow_m3_s);
    return in;
}

}  // namespace holdwater::test
