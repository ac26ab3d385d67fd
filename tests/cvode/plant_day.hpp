#pragma once

#include <array>
#include <cstdint>
#include <vector>

// A day of a plant as differential equations with events, integrated by SUNDIALS CVODE with root finding.
// This file and plant_day.cpp include nothing of the program: the equations and rules are written here a
// second time.
namespace plant_day {

inline constexpr int hours = 24;

/// Pump flow and electrical power at an amount of water in the pressure tank.
struct Node {
    double water_m3 = 0, flow_m3_s = 0, power_w = 0;
};

struct Outage {
    double from_h = 0, until_h = 0;
};

/// Array, battery of two wells, inverter, charger, transfer to the grid, pump, pressure tank, well and taps.
struct Plant {
    // Battery: capacity, share of the available well, exchange and self-discharge per hour.
    double capacity_kwh = 0, available_fraction = 0, exchange_per_h = 0, self_discharge_per_h = 0;
    double charge_efficiency = 1, discharge_efficiency = 1, min_soc = 0, start_soc = 1, charge_limit_kw = 0;
    // Charge controller and standing draw on the DC side.
    double controller_efficiency = 1, controller_limit_w = 0, standby_w = 0;
    // Inverter: loss = idle + max(0, k1 ac + k2 ac^2 / rating + extra min(1, ac / (rating / 10))).
    double rated_w = 0, idle_w = 0, k1 = 0, k2 = 0, extra_w = 0;
    double pass_through_draw_w = 0, pass_through_efficiency = 1;
    double charger_limit_w = 0, charger_efficiency = 1;
    // Transfer.
    bool grid = false;
    double grid_limit_w = 0, transfer_below = 0, return_above = 1, charge_to = 0, restart_above = 0,
           accept_delay_s = 0;
    std::vector<Outage> outages;
    // Pump and tank. With a well the nodes are scaled in each band of water level.
    std::vector<Node> nodes;
    double cut_in_m3 = 0, cut_out_m3 = 0, min_rest_s = 0;
    // Well with a casing: depths below the wellhead; bands of equal height from the first to the last depth,
    // at which the dry-run protection trips.
    bool well = false;
    double static_level_m = 0, casing_area_m2 = 0, specific_capacity_m2_s = 0, yield_m3_s = 0,
           restart_delay_s = 0, first_edge_m = 0, trip_depth_m = 0;
    std::vector<double> band_flow_factor, band_power_factor;
    // Hour by hour.
    std::array<double, hours> array_w{}, load_w{}, demand_m3{}, tap_flow_m3_s{};
};

/// Sums of the day, and the state after each hour.
struct Figures {
    double pv_used_kwh = 0, charged_kwh = 0, discharged_kwh = 0, inverter_loss_kwh = 0, load_served_kwh = 0,
           pump_kwh = 0, grid_kwh = 0, pass_through_loss_kwh = 0, charger_loss_kwh = 0, backup_h = 0,
           inverter_off_h = 0, pump_run_h = 0, pumped_m3 = 0, delivered_m3 = 0, inflow_m3 = 0;
    int starts = 0, trips = 0, transfers = 0, inverter_switched_off = 0;
    std::array<double, hours> soc{}, tank_m3{}, well_depth_m{};
    int events = 0;
};

enum class Kind {
    well,       ///< moving water level; flow and power of the pump constant in a band of levels
    tank,       ///< no moving level; the flow falls as the tank fills, the power is constant
    tank_power  ///< as `tank`, and the power changes as well
};

/// The plant of a seed.
Plant random_plant(std::uint64_t seed, Kind kind);

/// Integrates the day at a relative and absolute tolerance. Throws std::runtime_error if CVODE fails.
Figures integrate(Plant const& plant, double tolerance = 1e-10);

}  // namespace plant_day
