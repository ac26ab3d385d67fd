#pragma once

#include <optional>
#include <string>

#include "sim/designs/starter_sizing.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::tools {

/// Pressure tanks of one size in parallel.
struct TankAnswer {
    int count = 1;
    double each_m3 = 0;
};

/// What `init` asks. The rest of a starter is worked out from it or assumed, and says so line by line.
struct StarterAnswers {
    bool metric = false;  ///< the scenario is written in metric units
    std::string title, place;
    std::string weather_file;                ///< as it is to stand in the scenario
    bool weather_is_made = true;             ///< from latitude alone
    double latitude_deg = 0;                 ///< -65 .. 65
    double elevation_m = 0;                  ///< -450 .. 6000
    models::MotorParameters motor;           ///< typical_starter_motor
    std::string motor_power;                 ///< as it is to stand in the scenario: "1 hp", "0.75 kW"
    double depth_m = 0;                      ///< well head down to the static water level, 0 .. 300
    double cut_in_kpa = 0, cut_out_kpa = 0;  ///< of the pressure switch, gauge
    std::optional<TankAnswer> tank;          ///< none: chosen for the pump
    double persons = 3;                      ///< 0 .. 1000
    scenarios::Backup backup = scenarios::Backup::none;
    std::optional<double> generator_w;  ///< none: sized
    bool heated = true;                 ///< where the battery stands
    double volts = 240, hz = 60;        ///< of the inverter's output, and of grid and generator
};

/// models::typical_submersible_motor of a size in hp (0.5 .. 5) or its metric neighbor in kW (0.37 .. 3.7),
/// whose rated power is then that of the metric size. Throws std::invalid_argument naming the sizes, and for
/// a two-wire motor above 1.5 hp.
models::MotorParameters typical_starter_motor(double size, bool in_kw, models::MotorWiring wiring);

/// The answers as sim/starter_sizing takes them, with what is assumed of the site: 75 gal (285 L) a person
/// and day, a refrigerator and a few small loads, 15 ft (5 m) up to the tank.
sim::StarterSite starter_site(StarterAnswers const& answers);

/// Why no pump on this motor does, and what would; empty where one does.
std::string no_pump_message(StarterAnswers const& answers);

/// Smallest tanks of the usual sizes that let this pump run its shortest run.
TankAnswer usual_tank(StarterAnswers const& answers);

/// Rated power [kW] of the generator that starts this motor while it charges.
double starter_generator_kw(StarterAnswers const& answers);

/// A scenario that can be read and run as it is, every line with where its figure comes from. Pump: an
/// invented 5, 10 or 20 gpm stage. Sizes: sim/starter_sizing. At its end templates for prices, options and a
/// search, every line behind a # without a blank. Throws std::invalid_argument where no pump does.
std::string starter_scenario(StarterAnswers const& answers);

/// A made year for a latitude: temperatures and clearness of no place in particular, for a start only.
weather::MakeOptions starter_weather(StarterAnswers const& answers, double longitude_deg);

}  // namespace holdwater::tools
