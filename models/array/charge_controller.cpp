#include "models/array/charge_controller.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {
namespace {

/// A switch: the array is at battery voltage + drop, wherever its maximum power point is.
ControllerPoint on_switch(ChargeControllerParameters const& p, ArrayCurve const& curve, double best_w,
                          double battery_v, double accepted_w) {
    ControllerPoint point;
    auto& f = point.flows;
    f.offered_w = best_w;
    point.array_v = battery_v + p.drop_v;
    point.running = true;
    double const current = array_current_a(curve, point.array_v);
    double const at_array_w = point.array_v * current;
    f.window_loss_w = std::max(0.0, best_w - at_array_w);
    if (!(current > 0)) return point;
    double const full_w = battery_v * current;
    double const can_w = std::min({full_w, p.power_limit_w, p.current_limit_a * battery_v});
    f.output_w = std::clamp(accepted_w, 0.0, can_w);
    f.heat_w = (at_array_w - full_w) * (f.output_w / full_w);
    f.curtailed_by_controller_w = at_array_w * (1.0 - can_w / full_w);
    f.curtailed_by_battery_w = at_array_w * (can_w - f.output_w) / full_w;
    return point;
}

}  // namespace

void validate(ChargeControllerParameters const& p) {
    require(p.efficiency > 0 && p.efficiency <= 1, "efficiency", p.efficiency,
            "must be above 0 and at most 1");
    require(p.power_limit_w > 0, "power_limit_w", p.power_limit_w, "must be above 0 W");
    require(p.current_limit_a > 0, "current_limit_a", p.current_limit_a, "must be above 0 A");
    require(p.standby_w >= 0 && p.standby_w <= 100, "standby_w", p.standby_w, "must be 0 to 100 W");
    require(p.input_max_v > 0 && p.input_max_v <= 2000, "input_max_v", p.input_max_v,
            "must be above 0 V and at most 2000 V");
    require(p.tracking_max_v > 0 && p.tracking_max_v <= p.input_max_v, "tracking_max_v", p.tracking_max_v,
            "must be above 0 V and not above input_max_v");
    require(p.tracking_min_v >= 0 && p.tracking_min_v <= p.tracking_max_v, "tracking_min_v", p.tracking_min_v,
            "must be 0 V or more and not above tracking_max_v");
    require(p.headroom_v >= 0 && p.headroom_v <= 20, "headroom_v", p.headroom_v,
            "must be 0 to 20 V; about 1 V");
    require(p.run_margin_v >= 0 && p.run_margin_v <= 50, "run_margin_v", p.run_margin_v, "must be 0 to 50 V");
    require(p.start_margin_v >= p.run_margin_v && p.start_margin_v <= 50, "start_margin_v", p.start_margin_v,
            "must be at least run_margin_v and at most 50 V");
    require(p.drop_v >= 0 && p.drop_v <= 5, "drop_v", p.drop_v, "must be 0 to 5 V");
}

ControllerPoint controller_point(ChargeControllerParameters const& p, ArrayCurve const& curve,
                                 double battery_v, double accepted_w, bool was_running) {
    double const voc_v = array_open_circuit_v(curve);
    auto const best = array_maximum_power_point(curve);
    ControllerPoint off;
    off.flows.offered_w = off.flows.window_loss_w = best.power_w;
    off.over_voltage = voc_v > p.input_max_v;
    if (off.over_voltage) return off;
    if (p.kind == ControllerKind::direct) {
        if (!(voc_v > battery_v + p.drop_v)) return off;
        return on_switch(p, curve, best.power_w, battery_v, accepted_w);
    }
    if (!(voc_v > battery_v + (was_running ? p.run_margin_v : p.start_margin_v))) return off;
    double const low_v = std::max(battery_v + p.headroom_v, p.tracking_min_v);
    // The controller cannot hold the array above its tracking range. If the battery voltage is too high for
    // the range, there is no operating point at all.
    if (low_v > p.tracking_max_v || voc_v <= low_v) return off;
    ControllerPoint point;
    point.running = true;
    point.array_v = std::clamp(best.voltage_v, low_v, p.tracking_max_v);
    double const held_w = point.array_v == best.voltage_v
                              ? best.power_w
                              : std::min(best.power_w, point.array_v * array_current_a(curve, point.array_v));
    point.flows = controller_flows(p, held_w, battery_v, accepted_w);
    point.flows.offered_w = best.power_w;
    point.flows.window_loss_w = best.power_w - held_w;
    return point;
}

}  // namespace holdwater::models
