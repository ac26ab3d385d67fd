#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/prices.hpp"
#include "scenarios/parts/parts.hpp"
#include "scenarios/settings/scenario.hpp"

namespace holdwater::scenarios {

/// A change of one key of a scenario. `key` is dotted ("battery.capacity"); an entry of an array of tables is
/// named by its `name`, its `part` or its number from 1 ("load.refrigerator.power", "pipe.2.length"). `value`
/// is what TOML writes to the right of the equals sign ("\"14 kWh\"", "0.8").
struct Override {
    std::string key, value;
    std::size_t line = 0;  ///< in the scenario file; 0: not from the file
};

/// A variant of the scenario: a table [[option]] with `name`, dotted keys that it changes, a list `remove` of
/// dotted keys or tables that it takes out first, and entries that it adds to lists of tables
/// ([[option.use]]).
struct DesignOption {
    std::string name;
    std::vector<Override> overrides, removed;  ///< `removed` uses only key and line
    std::size_t line = 0;
    /// Added at the end of the list `key`; `value`: the lines of the entry, key = value.
    std::vector<Override> added{};
};

/// Used as a key: the value names an option of the scenario, and all of its changes are made.
inline constexpr char const* option_key = "option";

/// A scenario with its options and prices as text, not yet read as designs.
struct DesignFile {
    std::string path, text;
    std::vector<DesignOption> options;  ///< in the order of the file
    std::vector<PartsList> parts;       ///< the lists that its key `parts` names
    /// From a result file, instead of the file that [demand.series] names; null: the file is read.
    std::shared_ptr<DemandSeries const> stored_demand;
};

/// One design that can be run.
struct Design {
    std::string name;  ///< of the option; "base design" for the scenario itself
    Scenario scenario;
    std::optional<Prices> prices;  ///< if the scenario has a table [prices]
};

inline constexpr char const* base_name = "base design";

/// Throws ScenarioError, like all functions below.
DesignFile read_design_file(std::string const& path);
DesignFile read_design_text(std::string const& text, std::string const& path);

/// The scenario without an option. Scenario::text is the file as read; with parts, it is as for an option.
Design base_design(DesignFile const& file);
/// The scenario with the changes of an option. Scenario::text is the changed scenario, with keys in
/// alphabetical order and without comments. Errors name the option and the line of the key, in the option or
/// in the scenario.
Design option_design(DesignFile const& file, DesignOption const& option);

/// Reads many variants of a scenario. What they have in common is parsed only once.
class VariantReader {
  public:
    /// `base`: the changes that all of them have. Throws the same as option_design.
    VariantReader(DesignFile file, DesignOption base);

    [[nodiscard]] DesignFile const& file() const { return file_; }
    [[nodiscard]] DesignOption const& base() const { return base_; }
    /// The scenario of the base with further changes; Scenario::text stays empty. Throws the same as
    /// option_design.
    [[nodiscard]] Scenario scenario(std::vector<Override> const& changes) const;

  private:
    struct Parsed;
    DesignFile file_;
    DesignOption base_;
    std::shared_ptr<Parsed const> parsed_;
};

/// The option that an override of `option_key` names; null: the scenario itself ("base design").
DesignOption const* chosen_option(DesignFile const& file, Override const& choice);
/// The changes in the order in which they are made: an option first, then keys.
std::vector<Override> options_first(std::vector<Override> changes);

/// The design of an option by its name; empty: the scenario itself.
Design named_design(DesignFile const& file, std::string const& option_name);

/// A typed value as TOML: what TOML accepts as a value stays (0.8, true, "text"); anything else (5 kWh)
/// becomes a text.
std::string as_toml_value(std::string const& typed);

}  // namespace holdwater::scenarios
