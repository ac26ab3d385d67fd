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
#include "models/electric/frost_heater.hpp"
#include "models/electric/grid.hpp"
#include "models/electric/inverter.hpp"
#include "models/electric/inverter_overload.hpp"
#include "models/generator/generator.hpp"
#include "models/generator/generator_run.hpp"
#include "models/water/pump_gate.hpp"
#include "scenarios/settings/supply_settings.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/series.hpp"
#include "sim/base/water_system.hpp"

namespace holdwater::sim {

using scenarios::Backup, scenarios::SupplyRules, scenarios::BatteryBehavior, scenarios::GeneratorOperation,
    scenarios::BatteryLifeSettings;

/// State of the supply that is carried over from one run to the next.
struct CarriedSupply {
    models::BatteryState battery;
    bool heater_on = false, charge_refused = false;  ///< of the battery
    double battery_c = 25, fuel_l = 0;               ///< 0 L: it has been refueled
};

/// The supply half of a System, validated.
struct SupplySystem {
    models::EnergyBucketParameters battery;
    double start_soc = 1;
    double controller_efficiency = 1;  ///< controller output divided by array power [-]
    double controller_limit_w = 0;     ///< highest output of the controller [W]; may be infinite
    double array_factor = 1;  ///< times the array power of the inputs, for arrays of other sizes; >= 0
    double dc_standby_w = 0;  ///< draw of controller and battery management, day and night [W]
    models::InverterParameters inverter;
    models::AcChargerParameters charger{0, 1, 1};
    SupplyRules rules;
    models::OutageList outages;  ///< hours since 00:00 on 1 January
    std::optional<models::GeneratorParameters> generator;
    BatteryBehavior battery_behavior;
    GeneratorOperation generator_operation;
    BatteryLifeSettings battery_life;
    std::optional<CarriedSupply> carried_supply;  ///< none: battery at start_soc, as warm as its place, and
                                                  ///< the fuel tank full
    std::optional<models::PumpGate> pump_gate;    ///< when the well pump may run from the battery
};

/// Everything that the year loop needs; nothing here changes during a run. A new member of a half must also
/// be named in sim/batch/lane_obstacle.cpp, which says whether the lanes of a batch carry it.
struct System : WaterSystem, SupplySystem {};

/// Small loads that are shed together, before those of HourlyInputs::load_w.
struct LoadClass {
    Series power_w;         ///< mean over the hour
    double shed_below = 0;  ///< also shed while the SOC is below this; back 0.1 above it; 0: not by SOC
    friend bool operator==(LoadClass const&, LoadClass const&) = default;
};

/// A place with a heater, whose demand is part of the small loads.
struct HeatedPlace {
    std::string name;
    models::FrostHeater heater;
    /// The class of its load in HourlyInputs::shed_first; none: in load_w.
    std::optional<std::size_t> shed_class;
    Series wanted_w;  ///< mean power of each hour of the year
    friend bool operator==(HeatedPlace const&, HeatedPlace const&) = default;
};

/// Inputs of the year, hour by hour; each `hours_per_year` long.
struct HourlyInputs {
    Series array_power_w;  ///< at the array terminals, as far as the controller can use it, mean
    Series load_w;         ///< small AC loads, mean over the hour; shed last
    Series demand_m3;      ///< water demand of the hour
    Series tap_flow_m3_s;  ///< flow while taps are open, from the beginning of the hour on
    /// Several uses at a time: the draws of hour h are [first_draw[h], first_draw[h + 1]); empty: see above.
    std::vector<DrawSegment> draws{};
    std::vector<std::uint32_t> first_draw{};
    Series trough_m3{};                 ///< part of the demand that animals drink from the trough
    std::vector<UseOfWater> uses{};     ///< part of each use in the demand, for the report; may be empty
    std::vector<LoadClass> shed_first;  ///< in the order in which they are shed; may be empty
    Series leg_imbalance_w;             ///< by how much unequal legs or phases lower what the
                                        ///< inverter carries [W], [VA]; may be empty
    Series load_var{};                  ///< reactive power of all small loads, lagging [var]; may be empty
    Series load_start_va{};             ///< largest start of a small load in the hour; may be empty
    Series ambient_c;                   ///< air temperature; empty: 25 deg C
    /// The rest does not affect the run. Power lost because of the controller's voltage window, mean [W];
    /// then series and warnings for the designer.
    Series array_window_loss_w{};
    Series plane_light_w_m2{};          ///< on the plane before soiling, shading and glass; mean
    Series cell_c{};                    ///< cell temperature of the array, mean of the hour
    std::vector<HeatedPlace> heated{};  ///< places that a heater keeps from freezing
    std::vector<std::string> warnings{};
    friend bool operator==(HourlyInputs const&, HourlyInputs const&) = default;
};

}  // namespace holdwater::sim
