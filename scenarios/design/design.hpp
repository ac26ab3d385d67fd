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

/// One key of a scenario changed. `key` is dotted ("battery.capacity"); an entry of an array of tables is
/// named by its `name`, its `part` or its number from 1 ("load.refrigerator.power", "pipe.2.length"). `value`
/// is what TOML has on the right of the equals sign ("\"14 kWh\"", "0.8").
struct Override {
    std::string key, value;
    std::size_t line = 0;  ///< in the scenario file; 0: not from there
};

/// A variant of the scenario: table [[option]] with `name`, dotted keys that change, `remove`, a list of
/// dotted keys or tables that are taken out first, and entries added to lists of tables ([[option.use]]).
struct DesignOption {
    std::string name;
    std::vector<Override> overrides, removed;  ///< of `removed` only key and line count
    std::size_t line = 0;
    /// Put at the end of the list `key`; `value`: the entry's lines, key = value.
    std::vector<Override> added{};
};

/// In place of a key: the override's value names an option of the scenario, all of whose changes are made.
inline constexpr char const* option_key = "option";

/// A scenario with its options and prices as text, not yet read as designs.
struct DesignFile {
    std::string path, text;
    std::vector<DesignOption> options;  ///< in the order of the file
    std::vector<PartsList> parts;       ///< the lists its key `parts` names
    /// In place of the file that [demand.series] names, as a result holds it; null: the file is read.
    std::shared_ptr<DemandSeries const> stored_demand;
};

/// One design that can be run.
struct Design {
    std::string name;  ///< of the option; "base design" for the scenario itself
    Scenario scenario;
    std::optional<Prices> prices;  ///< when the scenario has a table [prices]
};

inline constexpr char const* base_name = "base design";

/// Throws ScenarioError, as all below.
DesignFile read_design_file(std::string const& path);
DesignFile read_design_text(std::string const& text, std::string const& path);

/// The scenario without option; Scenario::text is the file as read, or with parts as of an option.
Design base_design(DesignFile const& file);
/// The scenario with an option's changes; Scenario::text is the changed scenario, keys in alphabetical order
/// and without comments. Errors name the option and the line of the key, in the option or in the scenario.
Design option_design(DesignFile const& file, DesignOption const& option);

/// Reads many variants of a scenario: what they have in common is parsed once.
class VariantReader {
  public:
    /// `base`: what is changed in all of them. Throws what option_design does for it.
    VariantReader(DesignFile file, DesignOption base);

    [[nodiscard]] DesignFile const& file() const { return file_; }
    [[nodiscard]] DesignOption const& base() const { return base_; }
    /// The scenario of the base with these further changes; throws what option_design does. Its text is left
    /// out.
    [[nodiscard]] Scenario scenario(std::vector<Override> const& changes) const;

  private:
    struct Parsed;
    DesignFile file_;
    DesignOption base_;
    std::shared_ptr<Parsed const> parsed_;
};

/// The option that an override of `option_key` names; null: the scenario itself ("base design").
DesignOption const* chosen_option(DesignFile const& file, Override const& choice);
/// Changes made together: the option they may name first, then their keys.
std::vector<Override> options_first(std::vector<Override> changes);

/// By name; empty: the scenario itself.
Design named_design(DesignFile const& file, std::string const& option_name);

/// A value typed by a person as TOML: what TOML takes as a value stays (0.8, true, "text"), anything else
/// (5 kWh) becomes a text.
std::string as_toml_value(std::string const& typed);

}  // namespace holdwater::scenarios
