#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "tools/show/units.hpp"
#include "weather/recorded_years.hpp"

namespace holdwater::tools {

/// What recorded files hold: one row for each year with its irradiance by every model and its temperature,
/// the chains of consecutive years, and what was found and done.
std::string record_table(weather::RecordedYears const& record, Units units);

/// The chains in one line: "SUNY: 2000 to 2004; 5 years, of which 4 run on into the next".
std::string chain_words(weather::RecordedLight const& light);

/// The name of the irradiance model as shown: "SUNY", or "light of the files" if they have only one.
std::string shown_model(weather::LightModel model);

/// The same in SI for --json.
nlohmann::ordered_json record_json(weather::RecordedYears const& record);

}  // namespace holdwater::tools
