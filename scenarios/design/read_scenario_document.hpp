#pragma once

#include <toml++/toml.h>

#include <memory>
#include <string>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// A scenario from its document, in which the parts have been put in already. Scenario::text and
/// Scenario::parts stay empty. Errors name the file and line of each node, or `path` if it has none.
/// `stored_demand` replaces the file that [demand.series] names; may be null. Throws ScenarioError.
Scenario read_scenario_document(toml::table const& document, std::string const& path,
                                std::shared_ptr<DemandSeries const> stored_demand = nullptr);

/// The document as the text of a scenario, with keys in alphabetical order and without comments.
std::string text_of(toml::table const& document);

}  // namespace holdwater::scenarios
