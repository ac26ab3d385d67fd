#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "models/battery/battery.hpp"
#include "models/battery/battery_temperature.hpp"
#include "models/battery/battery_voltage.hpp"
#include "models/electric/ac_charger.hpp"
#include "models/electric/grid.hpp"
#include "models/electric/inverter.hpp"
#include "models/electric/inverter_overload.hpp"
#include "models/generator/generator.hpp"
#include "models/generator/generator_run.hpp"
#include "models/water/pump_gate.hpp"
#include "scenarios/settings/supply_settings.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/water_system.hpp"

namespace holdwater::sim {

using scenarios::Backup, scenarios::SupplyRules, scenarios::BatteryBehavior, scenarios::GeneratorOperation,
    scenarios::BatteryLifeSettings;

/// Supply state that goes over from one run to the next.
struct CarriedSupply {
    models::BatteryState battery;
    bool heater_on = false, charge_refused = false;  ///< of the battery
    double battery_c = 25, fuel_l = 0;               ///< 0 L: somebody has filled it
};

/// Everything the year loop needs, resolved and validated; nothing here changes during a run.
struct System : WaterSystem {
    models::EnergyBucketParameters battery;
    double start_soc = 1;
    double controller_efficiency = 1;  ///< controller output over array power [-]
    double controller_limit_w = 0;     ///< most it puts out [W]; may be infinite
    double dc_standby_w = 0;           ///< controller and battery management, day and night [W]
    models::InverterParameters inverter;
    models::AcChargerParameters charger{0, 1, 1};
    SupplyRules rules;
    models::OutageList outages;  ///< hours since 00:00 on 1 January
    std::optional<models::GeneratorParameters> generator;
    BatteryBehavior battery_behavior;
    GeneratorOperation generator_operation;
    BatteryLifeSettings battery_life;
    std::optional<CarriedSupply> carried_supply;  ///< else the battery at start_soc, as warm as its place,
                                                  ///< and the fuel tank full
    std::optional<models::PumpGate> pump_gate;    ///< when the well pump may run off the battery
};

/// Small loads that are shed together, before those of HourlyInputs::load_w.
struct LoadClass {
    std::vector<double> power_w;  ///< mean over the hour
    double shed_below = 0;  ///< also shed while the state of charge is under this; back 0.1 above; 0: never
    friend bool operator==(LoadClass const&, LoadClass const&) = default;
};

/// What drives the year, hour by hour; each `hours_per_year` long.
struct HourlyInputs {
    std::vector<double>
        array_power_w;           ///< at the array terminals, what the controller can take, mean over the hour
    std::vector<double> load_w;  ///< small AC loads, mean over the hour; shed last
    std::vector<double> demand_m3;      ///< water wanted in the hour
    std::vector<double> tap_flow_m3_s;  ///< flow while taps are open: the demand is drawn at the hour's start
    /// Several uses at a time: the draws of hour h are [first_draw[h], first_draw[h + 1]); empty: see above.
    std::vector<DrawSegment> draws{};
    std::vector<std::uint32_t> first_draw{};
    std::vector<double> trough_m3{};      ///< of the demand, what animals drink from the trough
    std::vector<UseOfWater> uses{};       ///< each use's part of the demand, for the report; may be empty
    std::vector<LoadClass> shed_first;    ///< in the order they are shed; may be empty
    std::vector<double> leg_imbalance_w;  ///< what one inverter leg carries more than the other; may be empty
    std::vector<double> load_var{};       ///< reactive power of all small loads, lagging [var]; may be empty
    std::vector<double> load_start_va{};  ///< largest start of a small load in the hour; may be empty
    std::vector<double> ambient_c;        ///< air temperature; empty: 25 deg C
    /// Not driving anything: what the controller's voltage window keeps from the best point, mean [W]; and
    /// what the array's year has to tell a designer.
    std::vector<double> array_window_loss_w{};
    std::vector<double> plane_light_w_m2{};  ///< on the array's plane before soiling, shading and glass; mean
    std::vector<double> cell_c{};            ///< cell temperature of the array, mean of the hour
    std::vector<std::string> warnings{};
    friend bool operator==(HourlyInputs const&, HourlyInputs const&) = default;
};

}  // namespace holdwater::sim
