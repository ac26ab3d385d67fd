#pragma once

#include <string>

#include "sim/designs/starter_design.hpp"

namespace holdwater::tools {

/// What `init` asks: the answers of the design, and the texts of the scenario.
struct StarterAnswers : sim::StarterAnswers {
    std::string title, place;
    std::string weather_file;     ///< as it is to stand in the scenario
    bool weather_is_made = true;  ///< from latitude alone
    std::string motor_power;      ///< as it is to stand in the scenario: "1 hp", "0.75 kW"
};

/// Why no pump on this motor does, and what would; empty where one does.
std::string no_pump_message(StarterAnswers const& answers);

/// A scenario that can be read and run as it is, every line with where its figure comes from. At its end
/// templates for prices, options and a search, every line behind a # without a blank. Throws
/// std::invalid_argument where no pump does.
std::string starter_scenario(StarterAnswers const& answers);

}  // namespace holdwater::tools
