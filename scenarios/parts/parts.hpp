#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/settings/used_part.hpp"
#include "scenarios/text/scenario_error.hpp"

namespace holdwater::scenarios {

/// One part of a list: an entry [[battery]], [[pump]], ... with `name`, `about` and `price` beside the keys
/// of the section it is for. A table below it that is no table of that section is for the section of its
/// name: a pump comes with its motor, an inverter with its charger.
struct Part {
    std::string kind;             ///< section it is for: "battery", "pump", "module" (of the array), ...
    std::string name, about;      ///< `name` is unique for its kind over all lists of a scenario
    std::optional<double> price;  ///< of one, in the list's currency; of pipe and cable: of one meter; >= 0
    std::size_t line = 0;
    std::string text;  ///< of the entry, as many empty lines before it as there are lines in the list
};

/// A parts list as read: the form is known to be right, the keys of the parts are not looked at yet.
struct PartsList {
    std::string path;
    std::string about;     ///< whose parts these are
    std::string currency;  ///< of the prices; may be empty
    std::vector<Part> parts;
};

/// Kinds of parts with the section each is for; entries of lists of tables ([[pipe]]) once for all.
struct PartKind {
    std::string_view kind, what;
};
std::vector<PartKind> const& part_kinds();

/// Throws ScenarioError, as all below.
PartsList read_parts_text(std::string const& text, std::string const& path);
PartsList read_parts_file(std::string const& path);
/// The path itself, or all *.toml of a folder in the order of their names.
std::vector<std::string> parts_files(std::string const& path);

/// An error for every part whose name an earlier one of its kind has.
std::vector<ScenarioError> duplicates(std::vector<PartsList> const& lists);

/// Sum of what the parts cost; names those without a price in `unpriced`.
double cost_of(std::vector<UsedPart> const& parts, std::string& unpriced);

}  // namespace holdwater::scenarios
