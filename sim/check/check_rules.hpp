#pragma once

#include <array>
#include <complex>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "models/electric/inverter_overload.hpp"
#include "models/electric/motor_start.hpp"
#include "sim/check/design_check.hpp"

/// Parts of `check`, not for use elsewhere.
namespace holdwater::sim::check_detail {

inline constexpr std::string_view practice = "common practice, no source";
inline constexpr double tight_power = 1.25, tight_volts = 1.05, tight_table = 1.1;

/// A pump on the AC bus.
struct PumpOnBus {
    std::string label;  ///< "" if there is only one pump
    models::PumpParameters const* pump = nullptr;
    models::MotorParameters const* motor = nullptr;
    models::PipingParameters const* piping = nullptr;
    models::DriveParameters const* drive = nullptr;  ///< null: across the line
    models::LiftParameters lift;
    bool at_tank = false;       ///< it fills the pressure tank, and the pressure switch controls it
    bool cabled = false;        ///< the cables of the scenario lead to it
    bool three_phases = false;  ///< its supply: the motor's, or a drive on an inverter with three phases
    bool us_tables = true;      ///< the code table of full-load currents may be used
    /// Of a well that the pump draws down to its protection: the lift from its highest static level, where
    /// the flow is largest; `lift` is then the one from the level at which the protection stops the pump.
    std::optional<models::LiftParameters> full_well{};

    /// Apparent power = this x volts x amps of the supply.
    [[nodiscard]] double phase_factor() const { return three_phases ? std::numbers::sqrt3 : 1; }
    /// Voltage drop divided by that of a single-phase run with the same current in each conductor.
    [[nodiscard]] double drop_ratio() const { return three_phases ? models::three_phase_drop_ratio : 1; }
};

/// Figures that several checks need, computed once.
struct Design {
    scenarios::Scenario const* scenario = nullptr;
    CheckOptions options;
    std::vector<PumpOnBus> pumps;
    std::complex<double> loads_va;  ///< small loads together, running
    models::LegLoad legs;           ///< the same by where they are connected
    models::PhaseLoad phases;       ///< the same with three phases

    [[nodiscard]] bool iec() const { return scenario->wiring.rules == scenarios::WiringRules::iec; }
};

Design make_design(scenarios::Scenario const& scenario, CheckOptions const& options);

/// Highest running current: the largest of nameplate, code table (if it has the size) and current at the
/// service factor; with a drive, the current of the drive at the service factor.
double running_a(PumpOnBus const& pump);
/// Where that figure comes from.
std::string_view running_a_source(PumpOnBus const& pump);
/// Full-load current from the code table; 0 if it has no row for this motor or is not to be used.
double table_full_load_a(PumpOnBus const& pump);
/// Volt-amperes at that current and the rated voltage of the motor.
std::complex<double> running_va(PumpOnBus const& pump);
/// Source voltage for a motor: between the outer conductors of the inverter, or of one leg; 0 if neither
/// fits.
double source_v(models::InverterParameters const& inverter, double motor_v);
/// Provenance of an input with its value; "" if the scenario does not say.
std::string provenance_of(scenarios::Scenario const& scenario, std::string_view input);

/// Texts for a reader, in the requested units.
std::string length_text(double length_m, ShownUnits units);
std::string volume_text(double volume_m3, ShownUnits units);
std::string flow_text(double flow_m3_s, ShownUnits units);
std::string pressure_text(double pressure_kpa, ShownUnits units);
std::string temperature_text(double temperature_c, ShownUnits units);
/// "11.0 kVA", "850 W" and so on, with `more_digits` more.
std::string power_text(double power, std::string_view unit, int more_digits = 0);
/// A power and its limit, with enough digits to show the difference if there is one.
std::pair<std::string, std::string> power_texts(double power, double limit, std::string_view unit);
inline std::string watts(double power_w) { return power_text(power_w, "W"); }

/// Sets the verdict for a value that must not be above (or below) its limit; equal except for rounding
/// passes.
void at_most(Check& c, double value, double limit, std::string_view unit, double tight);
void at_least(Check& c, double value, double limit, std::string_view unit, double tight);
Check titled(std::string_view name, std::string_view group, std::string title, PumpOnBus const& pump);
Check titled(std::string_view name, std::string_view group, std::string title);

void check_motor(Design const& design, std::vector<Check>& checks);
void check_start(Design const& design, std::vector<Check>& checks);
void check_generator(Design const& design, std::vector<Check>& checks);
void check_grid(Design const& design, std::vector<Check>& checks);
void check_cables(Design const& design, std::vector<Check>& checks);
void check_battery(Design const& design, std::vector<Check>& checks);
void check_array(Design const& design, std::vector<Check>& checks);
void check_water(Design const& design, std::vector<Check>& checks);
void check_days(Design const& design, std::vector<Check>& checks);

/// Flow of the pump and its electrical power at a tank pressure.
models::OperatingPoint point_at(PumpOnBus const& pump, double tank_kpa);
/// The pump with its full well, if there is one: where its flow is largest.
PumpOnBus at_full_well(PumpOnBus pump);
/// Demand of one use in each hour of its busiest day, at its tap flow (0: all hour long).
struct DayOfUse {
    std::array<double, 24> volume_m3{};
    double tap_flow_m3_s = 0;
};
std::vector<DayOfUse> busiest_day(scenarios::DemandSettings const& demand);
/// Starts in a day that is like the day before, by hand calculation: the taps of an hour open at its
/// beginning, and the pump gives its mean flow from cut-in to cut-out. `below_m3`: water in the tank at
/// cut-in.
double starts_of_day(std::vector<DayOfUse> const& day, double drawdown_m3, double below_m3,
                     double pump_flow_m3_s);
/// Water of the busiest day, m3.
double busiest_day_m3(scenarios::DemandSettings const& demand);

}  // namespace holdwater::sim::check_detail
