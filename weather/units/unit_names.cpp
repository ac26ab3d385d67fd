#include "weather/units/unit_names.hpp"

#include <algorithm>
#include <span>
#include <string>

#include "weather/units/unit_table.hpp"

namespace holdwater::weather {
namespace {

char in_lower_case(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

NamedUnit const* find(std::span<NamedUnit const> table, std::string_view name) {
    auto const at =
        std::lower_bound(table.begin(), table.end(), name,
                         [](NamedUnit const& unit, std::string_view wanted) { return unit.name < wanted; });
    return at != table.end() && at->name == name ? &*at : nullptr;
}

// A trade's unit takes the place of a name of the database in upper and lower case: "GAL" is none of either.
bool is_replaced(std::string_view lower) {
    return std::any_of(trade_units().begin(), trade_units().end(), [&](NamedUnit const& unit) {
        return std::equal(unit.name.begin(), unit.name.end(), lower.begin(), lower.end(),
                          [](char a, char b) { return in_lower_case(a) == b; });
    });
}

NamedUnit const* without_prefix(std::string_view text, std::string_view lower, UnitWords words) {
    bool const trade = words == UnitWords::trade;
    if (trade)
        if (auto const* unit = find(trade_units(), text)) return unit;
    if (auto const* unit = find(unit_names(), lower); unit != nullptr && !(trade && is_replaced(lower)))
        return unit;
    return find(unit_symbols(), text);
}

// The longest prefix that the text begins with: "da" rather than "d".
UnitPrefix const* longest(std::span<UnitPrefix const> table, std::string_view text) {
    UnitPrefix const* found = nullptr;
    for (auto const& prefix : table)
        if (text.starts_with(prefix.name) && (found == nullptr || prefix.name.size() > found->name.size()))
            found = &prefix;
    return found;
}

}  // namespace

std::optional<Unit> unit_named(std::string_view text, UnitWords words) {
    std::string lower_case(text);
    std::transform(text.begin(), text.end(), lower_case.begin(), [](char c) { return in_lower_case(c); });
    std::string_view lower = lower_case;
    double factor = 1;
    // Names of prefixes may follow each other, as in UDUNITS; of the symbols there is one.
    for (bool symbol_seen = false; !text.empty();) {
        if (auto const* unit = without_prefix(text, lower, words)) return prefixed(factor, unit->unit);
        auto const* prefix = longest(prefix_names(), lower);
        if (prefix == nullptr) {
            prefix = symbol_seen ? nullptr : longest(prefix_symbols(), text);
            symbol_seen = true;
        }
        if (prefix == nullptr) return std::nullopt;
        factor *= prefix->factor;
        text.remove_prefix(prefix->name.size());
        lower.remove_prefix(prefix->name.size());
    }
    return std::nullopt;
}

}  // namespace holdwater::weather
