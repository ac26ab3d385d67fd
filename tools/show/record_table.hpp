#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "tools/show/units.hpp"
#include "weather/recorded_years.hpp"

namespace holdwater::tools {

/// What recorded files hold: a row a year with its light by every model and its temperature, the chains of
/// consecutive years, and what was found and done.
std::string record_table(weather::RecordedYears const& record, Units units);

/// The chains in one line: "SUNY: 2000 to 2004; 5 years, of which 4 run on into the next".
std::string chain_words(weather::RecordedLight const& light);

/// The model of the light as it is shown: "SUNY", or "light of the files" where they have one alone.
std::string shown_model(weather::LightModel model);

/// The same in SI for --json.
nlohmann::ordered_json record_json(weather::RecordedYears const& record);

}  // namespace holdwater::tools
