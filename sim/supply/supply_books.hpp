#pragma once

#include "models/electric/ac_charger.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// Energy through the supply in a step or an hour, by whichever way it was computed [kWh].
struct SupplyEnergy {
    double array_kwh = 0;                                              ///< what the array could give
    double sun_kwh = 0;                                                ///< out of the controller
    double charged_kwh = 0, discharged_kwh = 0, battery_loss_kwh = 0;  ///< the battery, at its terminals
    double standby_kwh = 0, heater_kwh = 0;
    double inverter_loss_kwh = 0;
    double load_kwh = 0, pump_kwh = 0;  ///< AC
    double charger_kwh = 0;             ///< out of the charger
    double through_kwh = 0;             ///< from the backup to the loads, with what is lost on the way
    double through_loss_kwh = 0;
    bool from_generator = false;  ///< otherwise a backup is the grid
};

/// Adds the energy to the record of the hour. Energy of the supply is recorded only here. Returns the energy
/// from the backup [kWh].
inline double book(System const& s, SupplyEnergy const& e, HourRecord& r) {
    double const used_kwh = e.sun_kwh / s.controller_efficiency;
    double const charger_ac_kwh = models::charger_ac_w(s.charger, e.charger_kwh);
    double const backup_kwh = e.through_kwh + charger_ac_kwh;
    r.pv_used_kw += used_kwh;
    r.pv_curtailed_kw += e.array_kwh - used_kwh;
    r.controller_loss_kw += used_kwh - e.sun_kwh;
    r.battery_charge_kw += e.charged_kwh;
    r.battery_discharge_kw += e.discharged_kwh;
    r.battery_loss_kw += e.battery_loss_kwh;
    r.standby_kw += e.standby_kwh;
    r.heater_kw += e.heater_kwh;
    r.inverter_loss_kw += e.inverter_loss_kwh;
    r.load_served_kw += e.load_kwh;
    r.pump_kw += e.pump_kwh;
    r.charger_loss_kw += charger_ac_kwh - e.charger_kwh;
    r.pass_through_loss_kw += e.through_loss_kwh;
    (e.from_generator ? r.generator_kw : r.grid_kw) += backup_kwh;
    return backup_kwh;
}

}  // namespace holdwater::sim
