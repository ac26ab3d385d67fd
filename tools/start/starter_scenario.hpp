#pragma once

#include <string>

#include "sim/designs/starter_design.hpp"

namespace holdwater::tools {

/// What `init` asks: the answers of the design, and the texts of the scenario.
struct StarterAnswers : sim::StarterAnswers {
    std::string title, place;
    std::string weather_file;     ///< as it will be written in the scenario
    bool weather_is_made = true;  ///< made from the latitude alone
    std::string motor_power;      ///< as it will be written in the scenario: "1 hp", "0.75 kW"
};

/// Why no pump with this motor is enough, and what would be; empty if one is.
std::string no_pump_message(StarterAnswers const& answers);

/// A scenario that can be read and run as it is; every line says where its figure comes from. At its end are
/// templates for prices, options and a search, with a # directly before every line. Throws
/// std::invalid_argument if no pump is enough.
std::string starter_scenario(StarterAnswers const& answers);

}  // namespace holdwater::tools
