#pragma once

#include <optional>

#include "sim/designs/starter_sizing.hpp"
#include "weather/weather_maker.hpp"

/// A design to start from, made from a few answers and usual values; see starter_sizing for the sizes.
namespace holdwater::sim {

/// Pressure tanks of one size in parallel.
struct StarterTank {
    int count = 1;
    double each_m3 = 0;
};

/// What is known about a site. Everything else is calculated from it or assumed.
struct StarterAnswers {
    bool metric = false;                     ///< sizes as sold and round figures in metric units
    double latitude_deg = 0;                 ///< -65 .. 65
    double elevation_m = 0;                  ///< -450 .. 6000
    models::MotorParameters motor;           ///< typical_starter_motor
    double depth_m = 0;                      ///< well head down to the static water level, 0 .. 300
    double cut_in_kpa = 0, cut_out_kpa = 0;  ///< of the pressure switch, gauge
    std::optional<StarterTank> tank;         ///< none: chosen for the pump
    double persons = 3;                      ///< 0 .. 1000
    scenarios::Backup backup = scenarios::Backup::none;
    std::optional<double> generator_w;  ///< none: sized
    bool heated = true;                 ///< where the battery stands
    double volts = 240, hz = 60;        ///< of the inverter's output, and of grid and generator
};

/// models::typical_submersible_motor of a size in hp (0.5 .. 5), or of the nearest metric size in kW (0.37 ..
/// 3.7) with that rated power. Throws std::invalid_argument, which lists the sizes, for another size and for
/// a two-wire motor above 1.5 hp.
models::MotorParameters typical_starter_motor(double size, bool in_kw, models::MotorWiring wiring);

/// The inputs of starter_sizing from the answers, with what is assumed of the site: 75 gal (285 L) for each
/// person and day, a refrigerator and a few small loads, 15 ft (5 m) up to the tank, precharge 2 psi (0.2
/// bar) below cut-in (common practice).
StarterSite starter_site(StarterAnswers const& answers);

/// The design: the answers, what follows from them, and what is assumed of pipes and cables.
struct StarterDesign {
    StarterSite site;
    StarterPump pump;
    StarterTank tank;  ///< as answered, or the smallest usual tanks for the shortest run of the motor
    StarterSizes sizes;
    double tilt_deg{};          ///< latitude plus 10, at most 65, because winter decides
    double controller_kw{};     ///< 1.1 times the array
    double yard_m{}, drop_m{};  ///< house to well head 100 ft (30 m); well head to 40 ft (12 m) under water
    double breaker_a{};         ///< starter_breaker_a
    double battery_fuse_a{};    ///< in steps of 50 A, at least starter_battery_amps and at least 200
    double larger_array_kw{};   ///< the next sizes to try: 0.8 kW and 5.12 kWh more
    double larger_battery_kwh{};
};

/// Nothing if no pump with this motor is enough.
std::optional<StarterDesign> starter_design(StarterAnswers const& answers);

/// Rated power [kW] of the generator that starts this motor while it charges; 0 if no pump is enough.
double starter_generator_kw(StarterAnswers const& answers);

/// A made year from the latitude alone: usual temperatures and clearness, not those of the place. For a start
/// only.
weather::MakeOptions starter_weather(StarterAnswers const& answers, double longitude_deg);

}  // namespace holdwater::sim
