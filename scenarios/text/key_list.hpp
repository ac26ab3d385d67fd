#pragma once

#include <span>
#include <string>
#include <string_view>

namespace holdwater::scenarios {

/// Where the page of `desk` shows a key: at once, or behind "more".
enum class KeyPlace { common, more };

/// A key of a scenario in words. The tables of scenarios/README.md, the hints in messages and the form of the
/// page of `desk` are made from these.
struct KeyText {
    /// Dotted, without the number of an entry of a list of tables: "battery.capacity", "pipe.length". KEY
    /// stands for any key in quotes.
    std::string_view key;
    /// "kWh"; "ft or m": in US and in metric units; "" for a number without a unit. Otherwise what is
    /// written: "choice", "yes or no", "whole number", "text", "path", "hh:mm" and the like. "list of ft or
    /// m", "12 x ft or m" and "12 numbers" are lists.
    std::string_view unit;
    std::string_view usual;  ///< the default; "required" where there is none
    /// "0-400 m", a choice's values, or a rule in words. A range without a unit is in `unit`.
    std::string_view range;
    KeyPlace place = KeyPlace::more;
    std::string_view help;
};

/// Every key that the readers accept, in the order of a scenario. A test holds the list against the readers.
/// A table that has the keys of another one ([booster.pump], `part`) is not in the list.
std::span<KeyText const> key_list();

/// The key's text, for an entry of a list with its name or number too ("pipe.2.length"), and for
/// [booster.pump] and the like; null if there is none.
KeyText const* key_text(std::string_view key);

/// What a message can say of a key: "kWh, 0-1000: of the whole battery"; empty if it is not in the list.
std::string key_hint(std::string_view key);

/// The keys of these tables ("battery"; "top": the keys above the first table), or all, as a table of
/// Markdown.
std::string key_table(std::span<std::string const> sections);

}  // namespace holdwater::scenarios
