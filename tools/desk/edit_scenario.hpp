#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdwater::tools {

/// The scenario text with one key set, everything else as it was, comments too. `key` is dotted
/// ("battery.capacity"); an entry of a list of tables is named by its `name`, its `part` or its number from 1
/// ("load.refrigerator.power", "pipe.2.length"); a part with dots is in quotation marks
/// (provenance."battery.capacity"). `value` is TOML ("\"14 kWh\"", "0.8"). A key that is missing
/// is put behind the last line of its table, a table that is missing at the end. Throws std::invalid_argument
/// when the text is no TOML, or when the key names an entry that does not exist.
std::string with_key_set(std::string const& text, std::string_view key, std::string const& value);

/// The text without a key and its comment, without one entry of a list ("load.refrigerator", "pipe.2"), or
/// without a table and all below it ("cistern"). Throws std::invalid_argument when it is not there.
std::string without_key(std::string const& text, std::string_view key);

/// The text with an entry [[list]] behind the last one of that list, or at the end; `lines` are its keys.
std::string with_entry_added(std::string const& text, std::string const& list, std::string const& lines);

/// A key of a scenario as it stands in the text.
struct ScenarioKey {
    std::string
        key{};  ///< dotted, as with_key_set takes it; an entry of a list by its number: "pipe.2.length"
    std::string entry{};  ///< the `name` or `part` of that entry; empty where it has none, or outside a list
    std::string value{};  ///< TOML: "\"14 kWh\"", "0.8"
    std::string note{};   ///< the comment behind the value, without its sign
};

/// Every key of the text in its order. Throws std::invalid_argument when the text is no TOML.
std::vector<ScenarioKey> scenario_keys(std::string const& text);

}  // namespace holdwater::tools
