#pragma once

#include <string>

#include "scenarios/supply_settings.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::tools {

/// What `init` asks. The rest of a starter is reckoned from it or assumed, and says so line by line.
struct StarterAnswers {
    std::string title, place;
    std::string weather_file;     ///< as it is to stand in the scenario
    bool weather_is_made = true;  ///< from latitude alone
    double latitude_deg = 0;      ///< -65 .. 65
    double elevation_m = 0;       ///< -450 .. 6000
    double pump_hp = 1;           ///< 0.5, 0.75, 1, 1.5, 2, 3 or 5
    double depth_m = 0;           ///< well head down to the resting water, 0 .. 300
    double persons = 3;           ///< 0 .. 1000
    scenarios::Backup backup = scenarios::Backup::none;
};

/// A scenario that can be read and run as it is, every line with where its figure comes from. Pump: the
/// invented 5, 10 or 20 gpm stage, the largest flow of which enough stages for the lift and 60 psi fit the
/// motor. Motor: models::typical_submersible_motor. Array, bank and inverter by hand: 75 gal a person and
/// day, the winter's sun hours at the latitude, one and a half days on the bank (three without backup), the
/// start within the inverter's surge. Common practice, no source. Throws std::invalid_argument when a motor
/// of that power does not lift the water, saying what would.
std::string starter_scenario(StarterAnswers const& answers);

/// A made year for a latitude: temperatures and clearness of no place in particular, for a start only.
weather::MakeOptions starter_weather(StarterAnswers const& answers, double longitude_deg);

}  // namespace holdwater::tools
