#pragma once

#include <array>
#include <optional>
#include <span>

#include "models/electric/motor.hpp"
#include "scenarios/settings/supply_settings.hpp"

/// Sizes of a design to start from, by hand calculation from a few answers: pump, tank, cables, inverter,
/// battery, array, charger, generator. Common practice, no source; nothing here replaces the year that is
/// simulated next.
namespace holdwater::sim {

/// What is known of a site before anything is measured.
struct StarterSite {
    models::MotorParameters motor;           ///< typical of its power, or the nameplate's
    double static_level_m = 0;               ///< well head down to the static water level, 0 .. 300
    double lift_to_tank_m = 0;               ///< well head up to the pressure tank
    double cut_in_kpa = 0, cut_out_kpa = 0;  ///< of the pressure switch, gauge; precharge_kpa likewise
    double precharge_kpa = 0;
    double daily_m3 = 0;       ///< water of a day
    double small_loads_w = 0;  ///< mean draw of everything but the pump
    double latitude_deg = 0;   ///< -65 .. 65
    scenarios::Backup backup = scenarios::Backup::none;
    std::optional<double> generator_w;  ///< one that is there; none: sized
};

/// One stage of an invented submersible pump: round figures of no real pump, in the trade's units as printed.
struct StarterStage {
    double rated_gpm{};
    std::array<double, 9> flow_gpm{}, head_ft{}, shaft_hp{};
};
std::span<StarterStage const> starter_stages();

struct StarterPump {
    StarterStage const* stage{};
    int stages{};
};
/// The stage of the largest flow of which enough for the site fit on the motor's shaft: their shut-off heads
/// reach 1.18 times the head from the static level to cut-out at the tank, and their greatest shaft power
/// stays within the motor's service factor. Not fewer than 0.7 of what the motor turns: it would run nearly
/// idle. Nothing when no stage does.
std::optional<StarterPump> choose_starter_pump(StarterSite const& site);

/// Deepest static water level [m] for which choose_starter_pump finds a pump, other answers as they are;
/// below 0 when it finds none at all.
double starter_reach_m(StarterSite const& site);

/// Pressure tank volume [m3] that lets the pump run its motor's shortest run, at 1.3 times the stage's rated
/// flow (near cut-in it gives more than that), at sea level.
double starter_tank_m3(StarterSite const& site, StarterPump const& pump);

/// Usual hours of full sun a day in winter on a tilted array: 5.5 less 0.07 a degree of latitude, 1.5 to 5.
double starter_sun_h(double latitude_deg);

enum class InverterDecider { motor_start, running_load };
enum class BatteryDecider { days, pump_power };

/// What the site asks of the supply, and what decided it.
struct StarterSizes {
    double pump_w{};       ///< electrical, at the stages' greatest shaft power
    double start_kva{};    ///< locked rotor, direct on line
    double daily_kwh{};    ///< AC, pump and small loads and idle draw
    double inverter_kw{};  ///< 4, 6, 8, 12 or 18
    InverterDecider inverter_by{};
    double idle_w{};        ///< 7.5 W per kW
    double sun_h{};         ///< starter_sun_h
    double array_kw{};      ///< steps of 0.4 kW; 1.7 days' use from a winter day's sun, 1.2 with a backup
    double battery_days{};  ///< 3 without a backup, 1.5 with one
    double battery_kwh{};   ///< multiples of 5.12 kWh, nine tenths of it usable
    BatteryDecider battery_by{};
    double charger_kw{};    ///< 0.3 of the inverter, at most half the battery's capacity an hour; less where
                            ///< the generator that is there leaves less beside the motor's start, down to 0.5
    double generator_kw{};  ///< starts the motor while it charges, or the one that is there
};
/// Inverter: the smallest whose double for some seconds carries the motor's start with 20 % in hand and whose
/// rating is 1.6 times the running pump. Battery: its days, and never fewer kWh than two hours of the running
/// pump.
StarterSizes size_starter(StarterSite const& site, StarterPump const& pump);

/// AWG size for the run from inverter to motor: the thinnest that loses at most 4 % at service-factor load (5
/// % is the limit for submersible cable) and carries 125 % of it at its 60 deg C column; "4/0" where none
/// does.
std::string_view starter_cable_awg(models::MotorParameters const& motor, double length_m);

/// The same in mm2 from the common sections: at most 4 % of drop, at least 2.5 mm2, and at most 5 A per mm2
/// of 125 % of the current (from memory, no code's value: the ampacity is to be looked up); the thickest
/// where none does.
double starter_cable_mm2(models::MotorParameters const& motor, double length_m);

/// Breaker of the pump circuit [A]: the smallest sold not under 1.6 times the motor's service-factor current;
/// sizes of NEC 240.6(A), or the metric 10, 16, 20, 25, 32 ... (both from memory).
double starter_breaker_a(models::MotorParameters const& motor, bool metric);

/// Battery cable of an inverter in mm2 from the common sections: at most 2.5 A per mm2 of 125 % of the
/// current at 44 V (from memory, no code's value).
double starter_battery_cable_mm2(double inverter_kw);

/// How many 4/0 battery cables in parallel carry that current at their 75 deg C column.
int starter_battery_cables_awg(double inverter_kw);

/// 125 % of the current a 48 V inverter of this rating draws at 44 V and an efficiency of 0.93 [A].
double starter_battery_amps(double inverter_kw);

}  // namespace holdwater::sim
