#pragma once

#include <array>
#include <optional>
#include <span>

#include "models/electric/motor.hpp"
#include "scenarios/settings/supply_settings.hpp"

/// Sizes of a design to start from, by hand calculation from a few answers: pump, tank, cables, inverter,
/// battery, array, charger, generator. Common practice, no source. This does not replace the simulation of
/// the year, which comes next.
namespace holdwater::sim {

/// What is known of a site before anything is measured.
struct StarterSite {
    models::MotorParameters motor;           ///< typical of its power, or from the nameplate
    double static_level_m = 0;               ///< wellhead down to the static water level, 0 .. 300
    double lift_to_tank_m = 0;               ///< wellhead up to the pressure tank
    double cut_in_kpa = 0, cut_out_kpa = 0;  ///< of the pressure switch, gauge; precharge_kpa likewise
    double precharge_kpa = 0;
    double daily_m3 = 0;       ///< demand of a day
    double small_loads_w = 0;  ///< mean draw of all loads except the pump
    double latitude_deg = 0;   ///< -65 .. 65
    scenarios::Backup backup = scenarios::Backup::none;
    std::optional<double> generator_w;  ///< of the generator that is already there; none: it is sized
};

/// One stage of an invented submersible pump: round figures that are not those of a real pump, in trade
/// units.
struct StarterStage {
    double rated_gpm{};
    std::array<double, 9> flow_gpm{}, head_ft{}, shaft_hp{};
};
std::span<StarterStage const> starter_stages();

struct StarterPump {
    StarterStage const* stage{};
    int stages{};
};
/// The stage with the highest flow of which enough for the site can be driven by the motor. Enough: the
/// shut-off heads add up to 1.18 times the head from the static level to cut-out at the tank. Driven: the
/// highest shaft power stays within the motor's service factor. At least 0.7 of the stages that the motor can
/// drive are used, because with fewer it would run nearly idle. Nothing if no stage fits.
std::optional<StarterPump> choose_starter_pump(StarterSite const& site);

/// Deepest static water level [m] for which choose_starter_pump finds a pump, with the other answers
/// unchanged; below 0 if it finds none at any depth.
double starter_reach_m(StarterSite const& site);

/// Volume of the pressure tank [m3] with which a run lasts as long as the motor's shortest run, at 1.3 times
/// the rated flow of the stage (near cut-in the pump gives more than its rated flow), at sea level.
double starter_tank_m3(StarterSite const& site, StarterPump const& pump);

/// Usual hours of full sun a day in winter on a tilted array: 5.5 less 0.07 for each degree of latitude, 1.5
/// to 5.
double starter_sun_h(double latitude_deg);

enum class InverterDecider { motor_start, running_load };
enum class BatteryDecider { days, pump_power };

/// What the site needs from the supply, and the sizes that follow.
struct StarterSizes {
    double pump_w{};       ///< electrical, at the highest shaft power of the stages
    double start_kva{};    ///< locked rotor, direct on line
    double daily_kwh{};    ///< AC: pump, small loads and idle draw
    double inverter_kw{};  ///< 4, 6, 8, 12 or 18
    InverterDecider inverter_by{};
    double idle_w{};  ///< 7.5 W per kW
    double sun_h{};   ///< starter_sun_h
    /// Steps of 0.4 kW; a day of winter sun gives 1.7 times a day's use, or 1.2 times with a backup.
    double array_kw{};
    double battery_days{};  ///< days of use: 3 without a backup, 1.5 with one
    double battery_kwh{};   ///< multiples of 5.12 kWh, of which nine tenths are usable
    BatteryDecider battery_by{};
    /// 0.3 of the inverter's rating, at most half the battery's capacity in an hour; less if the generator
    /// that is there has less left beside the motor start, down to 0.5.
    double charger_kw{};
    double generator_kw{};  ///< starts the motor while it charges, or the one that is already there
};
/// Inverter: the smallest that, with twice its rating for some seconds, carries the motor start with a margin
/// of 20 %, and whose rating is at least 1.6 times the running pump. Battery: for its days, and never less
/// than two hours of the running pump in kWh.
StarterSizes size_starter(StarterSite const& site, StarterPump const& pump);

/// AWG size for the run from inverter to motor: the smallest with a voltage drop of at most 4 % at
/// service-factor load (5 % is the limit for submersible cable) that carries 125 % of that current by its 60
/// deg C column; "4/0" if none does.
std::string_view starter_cable_awg(models::MotorParameters const& motor, double length_m);

/// The same in mm2 from the common sizes: a drop of at most 4 %, at least 2.5 mm2, and at most 5 A per mm2 at
/// 125 % of the current (from memory, not a value of a code: look up the ampacity); the largest size if none
/// does.
double starter_cable_mm2(models::MotorParameters const& motor, double length_m);

/// Breaker of the pump circuit [A]: the smallest standard size of at least 1.6 times the motor's
/// service-factor current; sizes of NEC 240.6(A), or the metric 10, 16, 20, 25, 32 ... (both from memory).
double starter_breaker_a(models::MotorParameters const& motor, bool metric);

/// Battery cable of an inverter in mm2 from the common sizes: at most 2.5 A per mm2 at 125 % of the current
/// at 44 V (from memory, not a value of a code).
double starter_battery_cable_mm2(double inverter_kw);

/// Number of 4/0 battery cables in parallel that carry that current by their 75 deg C column.
int starter_battery_cables_awg(double inverter_kw);

/// 125 % of the current that a 48 V inverter of this rating draws at 44 V and an efficiency of 0.93 [A].
double starter_battery_amps(double inverter_kw);

}  // namespace holdwater::sim
