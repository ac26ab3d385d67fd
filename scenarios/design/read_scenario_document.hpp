#pragma once

#include <toml++/toml.h>

#include <memory>
#include <string>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// A scenario from its document, the parts put in; Scenario::text and Scenario::parts stay empty. Errors name
/// the file and line each node came from, `path` where it has none. `stored_demand`: in place of the file
/// that [demand.series] names; may be null. Throws ScenarioError.
Scenario read_scenario_document(toml::table const& document, std::string const& path,
                                std::shared_ptr<DemandSeries const> stored_demand = nullptr);

/// The document as a scenario's text, keys in alphabetical order and without comments.
std::string text_of(toml::table const& document);

}  // namespace holdwater::scenarios
