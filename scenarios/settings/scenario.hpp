#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "models/array/charge_controller.hpp"
#include "models/array/pv_array.hpp"
#include "models/array/snow_cover.hpp"
#include "models/battery/energy_bucket.hpp"
#include "models/electric/ac_charger.hpp"
#include "models/electric/frost_heater.hpp"
#include "models/electric/grid.hpp"
#include "models/electric/inverter.hpp"
#include "models/electric/motor.hpp"
#include "models/electric/small_loads.hpp"
#include "models/generator/generator.hpp"
#include "models/water/demand.hpp"
#include "models/water/low_pressure_cutoff.hpp"
#include "models/water/operating_point.hpp"
#include "models/water/piping.hpp"
#include "models/water/pressure_tank.hpp"
#include "models/water/pump.hpp"
#include "models/water/pump_gate.hpp"
#include "scenarios/settings/supply_settings.hpp"
#include "scenarios/settings/used_part.hpp"
#include "scenarios/settings/water_settings.hpp"
#include "scenarios/settings/wiring_settings.hpp"
#include "scenarios/settings/years_required.hpp"
#include "weather/horizon.hpp"
#include "weather/moving_planes.hpp"
#include "weather/read_weather.hpp"
#include "weather/transposition.hpp"

namespace holdwater::scenarios {

/// A small AC load, with what the scenario says of it besides its power.
struct ScenarioLoad {
    models::SmallLoad load;
    int leg = 0;  ///< 1 or 2: between that leg and neutral, 0: across both; with three phases 1 to 3:
                  ///< between that phase and neutral, 0: on all three
    double shed_below = 0;  ///< shed while the battery is below this state of charge; 0: not shed by SOC
    double duty_per_k = 0;  ///< change of its duty per kelvin of air temperature above 20 deg C
    double energy_wh_per_m3 = 0;         ///< instead of the profile: runs with the water; 0: it does not
    std::vector<std::string> of_uses{};  ///< only with the water of these uses; empty: with all water
    std::optional<models::FrostHeater> heater{};  ///< instead of the profile: by thermostat
    friend bool operator==(ScenarioLoad const&, ScenarioLoad const&) = default;
};

/// The rack has this tilt from the start of a day (0 = 1 January) until the next change.
struct TiltChange {
    int first_day = 0;
    double tilt_deg = 0;
    friend bool operator==(TiltChange const&, TiltChange const&) = default;
};

/// Position of the well, north and east positive.
struct Coordinates {
    double latitude_deg = 0, longitude_deg = 0;
};

/// What the irradiance on an array depends on, apart from the weather.
struct RackScenario {
    weather::Plane plane;                         ///< of a fixed rack; otherwise only its azimuth is used
    std::vector<TiltChange> tilt_changes;         ///< a rack tilted by hand, in the order of the year
    std::optional<weather::TrackerAxis> tracker;  ///< a rack that turns with the sun
    weather::HorizonProfile horizon;
    weather::TranspositionModel transposition = weather::TranspositionModel::perez;
    double albedo = 0.2;
    friend bool operator==(RackScenario const&, RackScenario const&) = default;
};

/// What the array power of a year depends on, apart from the weather. The functions that compute the array
/// power get only this.
struct ArrayScenario : RackScenario {
    models::SnowCover snow;
    models::PvArrayParameters array;
    models::ChargeControllerParameters controller;
    double battery_nominal_v = 51.2;  ///< for the voltage window and the current limit of the controller
    friend bool operator==(ArrayScenario const&, ArrayScenario const&) = default;
};

/// Units of the answers.
enum class UnitSystem { metric, us };

/// A design as a designer describes it: plain structs in SI units, all of them validated.
struct Scenario : ArrayScenario {
    std::string path;  ///< of the file; "" if read from a text
    std::string text;  ///< the file as read; with parts from lists, a complete scenario with their keys
    std::vector<UsedPart> parts;  ///< from parts lists
    std::string title, question, place;
    std::optional<UnitSystem> units;  ///< of the answers, if the command line does not say
    bool report_in_both = false;      ///< the report in both systems; every other answer in metric units
    double elevation_m = 0;
    std::optional<Coordinates> coordinates;  ///< only for checking that the weather belongs to the place

    std::string weather_path;  ///< as in the file, relative to the scenario's folder
    std::optional<weather::ColumnMap> weather_columns;
    /// Meaning of the times in the file; none: by the kind of file.
    std::optional<weather::Stamp> weather_stamp;
    int weather_shift_min = 0;  ///< added to the time of every row
    weather::DecompositionModel decomposition = weather::DecompositionModel::brl;
    bool decompose_all = false;  ///< split the irradiance of every hour, not only of those that have only GHI
    bool fill_long_gaps = false;
    YearsSettings years;  ///< used for the verdict
    /// Recorded years beside the file: files, folders and patterns as typed, from the scenario's folder.
    std::vector<std::string> recorded_paths;
    std::optional<weather::ColumnMap> recorded_columns;  ///< of all files of recorded years
    /// Gives temperature and wind if the weather files have none; "": no such file. Resolved path.
    std::string temperature_path;
    /// The irradiance models to use from files that hold several; never empty.
    std::vector<weather::LightModel> light_models{weather::LightModel::suny, weather::LightModel::metstat};

    double array_aging_per_year = 0.005, array_years = 0;  ///< from which the age factor of the array follows

    models::EnergyBucketParameters battery;
    BatteryBehavior battery_behavior;
    BatteryLifeSettings battery_life;
    double battery_v = 0;  ///< nominal; 0: not given
    double battery_standby_w = 0, start_soc = 1;
    models::InverterParameters inverter;
    models::AcChargerParameters charger{0, 1, 1};  ///< no charger
    std::vector<ScenarioLoad> loads;
    SupplyRules rules;
    std::optional<models::GeneratorParameters> generator;
    GeneratorOperation generator_operation;
    models::OutageList outages;         ///< listed and random; hours since 00:00 on 1 January
    models::OutageList listed_outages;  ///< those of them that the scenario lists
    std::optional<models::OutageStatistics> outage_statistics;  ///< of the random ones

    models::PumpParameters pump;
    models::MotorParameters motor;
    models::LiftParameters lift;
    models::PipingParameters piping;
    std::optional<models::DriveParameters> drive;  ///< of the well pump
    std::optional<models::PumpGate> pump_gate;
    models::PressureTankParameters tank;              ///< not used if the taps run by gravity
    std::optional<models::LowPressureCutoff> cutoff;  ///< of its pressure switch
    WellSettings well;
    std::optional<CisternSettings> cistern;
    std::optional<models::TroughParameters> trough;
    DemandSettings demand;

    WiringSettings wiring;  ///< only `check` uses this and the next three
    CheckSettings design_check;
    std::vector<InputProvenance> provenance;
    std::vector<Waiver> waivers;

    std::vector<std::string> warnings;  ///< possible but unusual inputs, in words
};

/// Reads a scenario file. Throws ScenarioError.
Scenario read_scenario(std::string const& path);
/// The same from a text. `path` is used in messages and to find the files that the text names.
Scenario read_scenario_text(std::string const& text, std::string const& path);

}  // namespace holdwater::scenarios
