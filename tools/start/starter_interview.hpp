#pragma once

#include <functional>
#include <string>

#include "tools/start/starter_scenario.hpp"

namespace holdwater::tools {

/// Answers to the questions of `init` as given; empty: asked for, or else the usual answer. Their names are
/// those of the command's options.
struct StarterTexts {
    std::string units, title, place, weather, latitude, longitude, elevation, pump_hp, pump_kw, wiring, depth,
        pressure_switch, tank, persons, backup, generator, battery_place, ac;
};

/// Where questions are asked.
struct StarterTalk {
    /// The answer to a question with its usual answer; throws std::invalid_argument if nobody answers.
    std::function<std::string(std::string const& question, std::string const& usual)> ask;
    std::function<void(std::string const&)> say;
};

struct StarterFacts {
    StarterAnswers answers;    ///< without weather_file, which the caller names
    std::string weather;       ///< the weather file as given; empty: a year is made
    double longitude_deg = 0;  ///< for a made year
};

/// Reads the answers, and asks for those that are missing. Throws std::invalid_argument with the option and
/// what is accepted.
StarterFacts starter_facts(StarterTexts const& texts, StarterTalk const* talk);

/// The made year of a scenario without a weather file, as a CSV file that the readers of weather read.
std::string starter_weather_csv(StarterFacts const& facts);

}  // namespace holdwater::tools
