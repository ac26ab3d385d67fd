#pragma once

#include <optional>
#include <string>
#include <vector>

#include "models/ac_charger.hpp"
#include "models/energy_bucket.hpp"
#include "models/generator.hpp"
#include "models/grid.hpp"
#include "models/inverter.hpp"
#include "models/pressure_tank.hpp"
#include "models/pump_cycle.hpp"
#include "sim/clock.hpp"

namespace holdwater::sim {

enum class Backup { none, grid, generator };

/// When the AC loads change over, as states of charge. See DEVELOPERS.md for the rules in words.
struct SupplyRules {
    Backup backup = Backup::none;
    double transfer_below = 0;  ///< to the backup at or below this
    double return_above = 1;    ///< back to the inverter at or above this
    double charge_to = 0;       ///< the charger fills the bank up to this while transferred; 0: no charging
    double restart_above = 0;   ///< an inverter that ran the bank to its floor comes back at this
    double backup_limit_w = 0;  ///< most the backup carries, load and charger together [W]; may be infinite
};

/// Everything the year loop needs, resolved and validated; nothing here changes during a run.
struct System {
    models::EnergyBucketParameters bank;
    double start_soc = 1;
    double controller_efficiency = 1;  ///< controller output over array power [-]
    double controller_limit_w = 0;     ///< most it puts out [W]; may be infinite
    double dc_standby_w = 0;           ///< controller and bank management, day and night [W]
    models::InverterParameters inverter;
    models::AcChargerParameters charger;
    SupplyRules rules;
    models::OutageList outages;  ///< hours since 00:00 on 1 January
    std::optional<models::GeneratorParameters> generator;
    models::PressureTankParameters tank;
    models::TankFillCurve fill;  ///< pump flow and electrical power over stored water
};

/// What drives the year, hour by hour; each `hours_per_year` long.
struct HourlyInputs {
    std::vector<double> array_power_w;  ///< at the array terminals, what the controller can take, mean
    std::vector<double> load_w;         ///< small AC loads, mean over the hour
    std::vector<double> demand_m3;      ///< water wanted in the hour
    std::vector<double> tap_flow_m3_s;  ///< flow while taps are open: the demand is drawn at the hour's start
    /// Not driving anything: what the controller's voltage window keeps from the best point, mean [W]; and
    /// what the array's year has to tell a designer.
    std::vector<double> array_window_loss_w{};
    std::vector<std::string> warnings{};
};

}  // namespace holdwater::sim
