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

/// One part of a list: an entry [[battery]], [[pump]], ... with `name`, `about` and `price` in addition to
/// the keys of its section. A table below it that does not belong to that section is for the section of that
/// name: a pump includes its motor, and an inverter includes its charger.
struct Part {
    std::string kind;             ///< its section: "battery", "pump", "module" (of the array), ...
    std::string name, about;      ///< `name` is unique for its kind in all lists of a scenario
    std::optional<double> price;  ///< of one, in the list's currency; of pipe and cable: of one meter; >= 0
    std::size_t line = 0;
    std::string text;  ///< of the entry, after as many empty lines as there are lines before it in the list
};

/// A parts list as read. Its form has been checked; the keys of the parts have not been read yet.
struct PartsList {
    std::string path;
    std::string about;     ///< whose parts these are
    std::string currency;  ///< of the prices; may be empty
    std::vector<Part> parts;
};

/// Kinds of parts with their sections; a list of tables ([[pipe]]) has one kind for all entries.
struct PartKind {
    std::string_view kind, what;
};
std::vector<PartKind> const& part_kinds();

inline constexpr std::size_t most_parts = 2000,  ///< of one list, and of all lists of a scenario
    most_parts_lines = 20000,                    ///< of one list
    most_lists = 100;                            ///< of a scenario

/// Throws ScenarioError, like all functions below.
PartsList read_parts_text(std::string const& text, std::string const& path);
PartsList read_parts_file(std::string const& path);
/// The path itself, or all *.toml files of a folder in the order of their names.
std::vector<std::string> parts_files(std::string const& path);

/// An error for every part that has the same name as an earlier part of its kind.
std::vector<ScenarioError> duplicates(std::vector<PartsList> const& lists);

/// Sum of the prices of the parts; `unpriced` gets the names of those without a price.
double cost_of(std::vector<UsedPart> const& parts, std::string& unpriced);

}  // namespace holdwater::scenarios
