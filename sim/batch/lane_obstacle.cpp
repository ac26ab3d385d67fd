#include "sim/batch/lane_obstacle.hpp"

#include <cmath>

namespace holdwater::sim {
namespace {

// Every setting is listed here by name, so that a new one does not compile until someone has decided about
// it. A setting that is only listed is carried by the lanes: it is in the shared water year, in QuickSupply,
// or used in the hours that a design runs alone.

std::string_view water_obstacle(WaterSystem const& s) {
    [[maybe_unused]] auto const& [tank, fill, pump_at_level, constant_pressure, motor, pump_start, cutoff,
                                  well, cistern, trough, carried_water] = s;
    if (carried_water) return "a start from an earlier run";
    if (well) return "a well with a level of its own";
    if (cistern) return "a cistern";
    if (trough) return "a trough";
    if (cutoff) return "a low-pressure cutoff";
    if (!pump_at_level.empty() || constant_pressure) return "a drive";
    return "";
}

std::string_view battery_obstacle(BatteryBehavior const& b) {
    [[maybe_unused]] auto const& [store, voltage, cold_resistance_factor, capacity_at, charge_rule, thermal,
                                  place_offset_k, chemistry] = b;
    if (!std::isinf(store.acceptance_per_h)) return "a charge that tapers";
    if (!models::is_plain(store) && !models::has_wells(store)) return "a battery of another kind";
    if (thermal) return "a battery with a temperature";
    return "";
}

std::string_view rules_obstacle(SupplyRules const& r) {
    [[maybe_unused]] auto const& [backup, grid_first, transfer_below, return_above, charge_to, restart_above,
                                  backup_limit_w, transfer_below_v, transfer_delay_s, accept_delay_s, break_s,
                                  trip_on_overload, trip, trip_reset_h, bypass, by_hand, hand_response_h,
                                  forewarned_h, forewarned_over_h, forewarned_charge_to, second, tariff] = r;
    return grid_first && backup == Backup::grid ? "the grid first" : "";
}

std::string_view inverter_obstacle(models::InverterParameters const& i, double least_load_w) {
    [[maybe_unused]] auto const& [rated_power_w, idle_w, k1, k2, surge, output_v, legs, search_w,
                                  search_wake_w, low_voltage_v, pass_through_va, extra_w, pass_through_draw_w,
                                  pass_through_efficiency, phase_va] = i;
    return models::sleeps(i, least_load_w) ? "an inverter that sleeps" : "";
}

std::string_view supply_obstacle(SupplySystem const& s, double least_load_w) {
    [[maybe_unused]] auto const& [battery, start_soc, controller_efficiency, controller_limit_w, array_factor,
                                  dc_standby_w, inverter, charger, rules, outages, generator,
                                  battery_behavior, generator_operation, battery_life, carried_supply,
                                  pump_gate] = s;
    if (carried_supply) return "a start from an earlier run";
    if (pump_gate) return "a pump gate";
    if (auto const why = battery_obstacle(battery_behavior); !why.empty()) return why;
    if (!(battery.capacity_kwh > 0)) return "no battery";
    if (auto const why = inverter_obstacle(inverter, least_load_w); !why.empty()) return why;
    return rules_obstacle(rules);
}

std::string_view inputs_obstacle(HourlyInputs const& in) {
    // The last five have no effect on the hours of a run.
    [[maybe_unused]] auto const& [array_power_w, load_w, demand_m3, tap_flow_m3_s, draws, first_draw,
                                  trough_m3, uses, shed_first, leg_imbalance_w, load_var, load_start_va,
                                  ambient_c, array_window_loss_w, plane_light_w_m2, cell_c, heated,
                                  warnings] = in;
    if (!heated.empty()) return "a place with a heater";
    return "";
}

}  // namespace

std::string_view lane_obstacle(LaneDesign const& d) {
    if (auto const why = water_obstacle(*d.system); !why.empty()) return why;
    if (auto const why = supply_obstacle(*d.system, d.inputs->least_load_w); !why.empty()) return why;
    return inputs_obstacle(d.inputs->inputs->hours());
}

}  // namespace holdwater::sim
