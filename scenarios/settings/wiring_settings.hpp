#pragma once

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "models/array/string_sizing.hpp"
#include "models/electric/conductor.hpp"
#include "models/electric/motor_protection.hpp"
#include "models/electric/motor_start.hpp"

namespace holdwater::scenarios {

/// One length of copper cable between the source and the motor of the well pump; the order does not matter.
struct CableSegment {
    std::string name;
    double length_m = 0;      ///< one way
    std::string size;         ///< as models::conductor_size spells it: "12" (AWG) or "2.5 mm2"
    double ohm_per_m = 0;     ///< of one conductor; of the size at conductor_c unless given
    double conductor_c = 75;  ///< temperature of the conductor for a computed resistance
    bool computed = false;  ///< this resistance is computed from the resistivity of copper, not from a table
                            ///< or data sheet
    double ampacity_a = 0;  ///< given, as laid; 0: from the AWG table, not known for a metric size
    std::string ampacity_source;  ///< where it was read; empty: not said
    models::Insulation insulation = models::Insulation::c75, terminals = models::Insulation::c60;
    double ambient_c = 30;
    int current_carrying = 2;  ///< conductors in the same raceway, cable or trench
};

enum class GeneratorRegulation { external, internal };

/// Whose rules decide about the wiring. With `iec` the program uses no table of a code: what the national
/// wiring rules hold is entered with its source.
enum class WiringRules { us, iec };

/// A value of a generator at no load and at full load.
struct LoadedPair {
    double no_load = 0, full_load = 0;
};
struct Window {
    double low = 0, high = 0;
};

/// Table [wiring] and the cables.
struct WiringSettings {
    WiringRules rules = WiringRules::us;
    std::vector<CableSegment> cables;
    double source_sag = 0;  ///< share of its voltage that the inverter loses during a start
    double source_ohm = 0;  ///< or the resistance of the source
    double breaker_a = 0;   ///< of the pump circuit; 0: not given
    std::optional<models::BreakerCurve> breaker_curve;
    double motor_protection_a = 0;  ///< setting of the motor's overload relay; 0: not given
    models::TripClass trip_class = models::TripClass::c10;
    double dc_length_m = 0;
    std::string dc_size;             ///< battery cable, spelled like CableSegment::size; empty: not given
    double dc_ampacity_a = 0;        ///< given; 0: from the AWG table, not known for a metric size
    std::string dc_ampacity_source;  ///< where it was read; empty: not said
    bool dc_computed = false;        ///< like CableSegment::computed
    double dc_ohm = 0;               ///< of both its conductors
    double dc_fuse_a = 0;            ///< 0: not given
    std::optional<double> battery_peak_a;  ///< current that battery, fuse and management carry for a start
    GeneratorRegulation regulation = GeneratorRegulation::external;
    std::optional<bool> generator_three_wire;  ///< 120/240 V with neutral
    bool charger_needs_three_wire = false, charger_folds_back = false;
    double main_breaker_a = 0;      ///< of each phase of the grid connection; 0: not given
    double generator_phase_va = 0;  ///< rating of each phase of the generator; 0: a third
    std::optional<LoadedPair> generator_hz, generator_v;
    std::optional<Window> accepted_hz, accepted_v;
};

/// Table [check]: limits that the designer sets, and what was found on site.
struct CheckSettings {
    double least_motor_share = 0.65, run_drop = 0.05;
    bool run_drop_given = false;
    std::string run_drop_source;  ///< where it was read; empty: not said
    std::optional<double> battery_soc, battery_temperature_c, resting_v;
    double start_efficiency = 0.88;
    std::optional<double> record_low_c;
    double hot_cell_c = 70;
    std::optional<double> absorption_v;
    models::PvSite pv_site = models::PvSite::dwelling;
    models::MeasuredStart on_inverter = models::MeasuredStart::none,
                          on_generator = models::MeasuredStart::none;
    bool soft_start_agreed = false;
    std::optional<double> sun_h;  ///< peak sun hours a day on the array in the worst month
    double system_factor = 0.77;
    std::optional<double> least_autonomy_d;
    std::optional<Window> recommended_m3_s;
};

enum class Provenance { nameplate, measured, table, assumed };
std::string_view name(Provenance provenance);

/// Where an input comes from, and its range if it is only assumed.
struct InputProvenance {
    std::string input;  ///< its key, such as "motor.locked_rotor"
    Provenance provenance = Provenance::assumed;
    std::optional<Window> range;  ///< in the SI unit of the input; only for assumed_inputs()
    std::string value;            ///< as typed in the scenario, or the value that is used for it
    std::string low, high;        ///< the range as typed; empty: none
};

/// A check that the designer has waived, with the reason.
struct Waiver {
    std::string check, reason;
};

/// Names of the checks, as waivers and files use them.
inline constexpr std::array<std::string_view, 42> check_names{"motor-volts",
                                                              "motor-wiring",
                                                              "soft-start",
                                                              "start-surge",
                                                              "start-motor-volts",
                                                              "start-battery-volts",
                                                              "start-battery-amps",
                                                              "start-measured",
                                                              "breaker-start",
                                                              "protection-setting",
                                                              "protection-start",
                                                              "running-load",
                                                              "leg-load",
                                                              "phase-load",
                                                              "grid-phase",
                                                              "bypass",
                                                              "generator-start",
                                                              "generator-charger",
                                                              "generator-accept",
                                                              "generator-measured",
                                                              "generator-phase",
                                                              "cable-drop",
                                                              "motor-run-volts",
                                                              "cable-ampacity",
                                                              "breaker",
                                                              "dc-cable",
                                                              "dc-drop",
                                                              "dc-fuse",
                                                              "battery-full-load",
                                                              "battery-charge",
                                                              "array-cold-volts",
                                                              "array-hot-volts",
                                                              "controller-output",
                                                              "tank-precharge",
                                                              "low-pressure-cutoff",
                                                              "shortest-run",
                                                              "starts-per-day",
                                                              "pump-range",
                                                              "pipe-friction",
                                                              "autonomy",
                                                              "tariff-reserve",
                                                              "array-to-load"};

}  // namespace holdwater::scenarios
