#pragma once

#include <array>
#include <complex>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "models/electric/inverter_overload.hpp"
#include "models/electric/motor_start.hpp"
#include "sim/check/design_check.hpp"

/// Parts of check, not for use elsewhere.
namespace holdwater::sim::check_detail {

inline constexpr std::string_view practice = "common practice, no source";
inline constexpr double tight_power = 1.25, tight_volts = 1.05, tight_table = 1.1;

/// A pump on the AC bus.
struct PumpOnBus {
    std::string label;  ///< "" for the only one
    models::PumpParameters const* pump = nullptr;
    models::MotorParameters const* motor = nullptr;
    models::PipingParameters const* piping = nullptr;
    models::DriveParameters const* drive = nullptr;  ///< null: across the line
    models::LiftParameters lift;
    bool at_tank = false;  ///< it fills the pressure tank and its switch governs it
    bool cabled = false;   ///< the scenario's cables lead to it
};

/// What several checks need, worked out once.
struct Design {
    scenarios::Scenario const* scenario = nullptr;
    CheckOptions options;
    std::vector<PumpOnBus> pumps;
    std::complex<double> loads_va;  ///< small loads together, running
    models::LegLoad legs;           ///< the same by where they are connected
};

Design make_design(scenarios::Scenario const& scenario, CheckOptions const& options);

/// Greatest running current: nameplate, code table (where it has the size) or at the service factor, the
/// largest; with a drive that of the drive at the service factor.
double running_a(PumpOnBus const& pump);
/// Where that figure comes from.
std::string_view running_a_source(PumpOnBus const& pump);
/// Full-load amps of the code table; 0 where it has no row for the size and volts.
double table_full_load_a(models::MotorParameters const& motor);
/// Volt-amperes at that current and the motor's rated volts.
std::complex<double> running_va(PumpOnBus const& pump);
/// Source volts for a motor: the inverter's outer conductors or one leg; 0 when neither suits.
double source_v(models::InverterParameters const& inverter, double motor_v);
/// Provenance of an input with its value, "" when the scenario does not say.
std::string provenance_of(scenarios::Scenario const& scenario, std::string_view input);

/// For reading, in the units asked for.
std::string length_text(double length_m, ShownUnits units);
std::string volume_text(double volume_m3, ShownUnits units);
std::string flow_text(double flow_m3_s, ShownUnits units);
std::string pressure_text(double pressure_kpa, ShownUnits units);
std::string temperature_text(double temperature_c, ShownUnits units);
/// "11.0 kVA", "850 W" and so on, with so many digits more.
std::string power_text(double power, std::string_view unit, int more_digits = 0);
/// A power and its limit, with digits enough to tell them apart where they differ.
std::pair<std::string, std::string> power_texts(double power, double limit, std::string_view unit);
inline std::string watts(double power_w) { return power_text(power_w, "W"); }

/// Judges a value that must not exceed (or fall below) its limit; at the limit but for rounding it holds.
void at_most(Check& c, double value, double limit, std::string_view unit, double tight);
void at_least(Check& c, double value, double limit, std::string_view unit, double tight);
Check titled(std::string_view name, std::string_view group, std::string title, PumpOnBus const& pump);
Check titled(std::string_view name, std::string_view group, std::string title);

void check_motor(Design const& design, std::vector<Check>& checks);
void check_start(Design const& design, std::vector<Check>& checks);
void check_generator(Design const& design, std::vector<Check>& checks);
void check_cables(Design const& design, std::vector<Check>& checks);
void check_battery(Design const& design, std::vector<Check>& checks);
void check_array(Design const& design, std::vector<Check>& checks);
void check_water(Design const& design, std::vector<Check>& checks);
void check_days(Design const& design, std::vector<Check>& checks);

/// Flow into the pump's line and electrical power at a tank pressure.
models::OperatingPoint point_at(PumpOnBus const& pump, double tank_kpa);
/// What one use takes in each hour of its busiest day, every opening at its tap flow (0: all hour long).
struct DayOfUse {
    std::array<double, 24> volume_m3{};
    double tap_flow_m3_s = 0;
};
std::vector<DayOfUse> busiest_day(scenarios::DemandSettings const& demand);
/// Starts of a day that is as the day before, as a pencil has it: the taps of an hour open at its beginning,
/// the pump brings its mean flow from cut-in to cut-out. `below_m3`: water in the tank at cut-in.
double starts_of_day(std::vector<DayOfUse> const& day, double drawdown_m3, double below_m3,
                     double pump_flow_m3_s);
/// Water of the busiest day, m3.
double busiest_day_m3(scenarios::DemandSettings const& demand);

}  // namespace holdwater::sim::check_detail
