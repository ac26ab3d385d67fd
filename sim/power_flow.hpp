#pragma once

#include <algorithm>

#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::sim {

/// Which source feeds the loads, and whether the inverter stays off after it ran the bank down.
struct SupplyState {
    bool transferred = false;
    bool inverter_off = false;
};

/// All powers during one step [W]; constant over the step.
struct PowerFlow {
    double array_used_w = 0, array_curtailed_w = 0, controller_loss_w = 0;
    double load_served_w = 0, pump_w = 0;
    double inverter_dc_w = 0;  ///< into the inverter
    double standby_w = 0;      ///< controller and bank management
    double charger_ac_w = 0, charger_dc_w = 0;
    double backup_w = 0;  ///< out of grid or generator
    double bank_w = 0;    ///< at the bank's terminals, > 0 discharges
};

/// AC power [W] the present source can carry for loads and pump together.
inline double ac_capacity_w(System const& s, SupplyState const& supply, double array_w) {
    if (supply.transferred) return s.rules.backup_limit_w;
    if (supply.inverter_off) return 0;
    double const controller_w = std::min(array_w * s.controller_efficiency, s.controller_limit_w);
    double const bank_limit_w = 1e3 * s.bank.discharge_limit_kw - s.dc_standby_w;
    return std::min(s.inverter.rated_power_w, models::ac_output_w(s.inverter, controller_w + bank_limit_w));
}

/// Splits the power for given AC demands that the capacity covers (`pump_w + load_w <= ac_capacity_w`).
///
/// The sun goes to the loads first, then to the bank up to its limits; what is left is curtailed at the
/// array. On the backup the loads are fed directly, the sun charges the bank, and the charger adds what the
/// backup's headroom, its own rating and the bank's charge limit leave, up to the charge-to level.
inline PowerFlow power_flow(System const& s, SupplyState const& supply, double stored_kwh, double array_w,
                            double load_w, double pump_w) {
    PowerFlow flow;
    flow.load_served_w = load_w;
    flow.pump_w = pump_w;
    bool const inverting = !supply.transferred && !supply.inverter_off;
    if (inverting) flow.inverter_dc_w = models::dc_input_w(s.inverter, load_w + pump_w);

    double const controller_max_w = std::min(array_w * s.controller_efficiency, s.controller_limit_w);
    flow.standby_w = stored_kwh > 0 ? s.dc_standby_w : std::min(s.dc_standby_w, controller_max_w);
    double const dc_w = flow.inverter_dc_w + flow.standby_w;
    double const hold_w = -1e3 * models::holding_power_kw(s.bank, stored_kwh);
    double const limit_w = 1e3 * s.bank.charge_limit_kw;
    double const accept_w = stored_kwh >= s.bank.capacity_kwh ? std::min(hold_w, limit_w) : limit_w;
    double const sun_w = std::min(controller_max_w, dc_w + accept_w);

    if (supply.transferred) {
        flow.backup_w = load_w + pump_w;
        double const charge_to_kwh = s.rules.charge_to * s.bank.capacity_kwh;
        if (s.rules.charge_to > 0 && stored_kwh <= charge_to_kwh) {
            // At the charge-to level the charger only makes up for self-discharge.
            double const want_w =
                (stored_kwh < charge_to_kwh ? accept_w : std::min(hold_w, accept_w)) + dc_w - sun_w;
            flow.charger_dc_w =
                std::min(std::max(want_w, 0.0),
                         models::charger_dc_w(s.charger, s.rules.backup_limit_w - flow.backup_w));
            flow.charger_ac_w = models::charger_ac_w(s.charger, flow.charger_dc_w);
            flow.backup_w += flow.charger_ac_w;
        }
    }
    flow.array_used_w = sun_w / s.controller_efficiency;
    flow.array_curtailed_w = array_w - flow.array_used_w;
    flow.controller_loss_w = flow.array_used_w - sun_w;
    flow.bank_w = dc_w - sun_w - flow.charger_dc_w;
    return flow;
}

}  // namespace holdwater::sim
