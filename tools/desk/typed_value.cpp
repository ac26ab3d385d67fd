#include "tools/desk/typed_value.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <regex>
#include <sstream>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/key_list.hpp"
#include "scenarios/text/quantity.hpp"

namespace holdwater::tools {
namespace {

using scenarios::KeyText, scenarios::UnitSystem;

// What a key's field takes, from the text of its unit.
enum class Takes { text, number, quantity, yes_no };

struct Form {
    Takes takes = Takes::text;
    bool list = false;
    std::string_view us, metric;  // units
};

Form form_of(KeyText const& k) {
    Form form;
    auto unit = k.unit;
    for (std::string_view const before : {"list of ", "12 x ", "2 x "})
        if (unit.starts_with(before)) {
            form.list = true;
            unit = unit.substr(before.size());
        }
    if (unit.ends_with("numbers")) {
        form.list = true;
        form.takes = Takes::number;
        return form;
    }
    constexpr std::array<std::string_view, 4> numbers{"", "whole number", "money", "number per hour"};
    if (std::find(numbers.begin(), numbers.end(), unit) != numbers.end() || unit.starts_with("number of ")) {
        form.takes = Takes::number;
        return form;
    }
    if (unit == "yes or no") {
        form.takes = Takes::yes_no;
        return form;
    }
    constexpr std::array<std::string_view, 20> texts{
        "choice",          "text",        "path",       "paths", "column", "unit", "letter", "hh:mm",
        "MM-DD",           "MM-DD hh:mm", "YYYY-MM-DD", "texts", "names",  "keys", "values", "AWG or mm2",
        "name of a check", "low, high",   "as the key", "days"};
    if (std::find(texts.begin(), texts.end(), unit) != texts.end()) return form;
    form.takes = Takes::quantity;
    auto const both = unit.find(" or ");
    form.us = both == std::string_view::npos ? unit : unit.substr(0, both);
    form.metric = both == std::string_view::npos ? unit : unit.substr(both + 4);
    return form;
}

std::string trimmed(std::string_view text) {
    auto const first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1));
}

std::string quoted(std::string const& text) {
    if (text.find_first_of("\"\\\n") == std::string::npos) return '"' + text + '"';
    std::ostringstream out;
    out << toml::value<std::string>(text);
    return out.str();
}

// "2,8 bar" is "2.8 bar"; "1,200 gal" keeps its comma between thousands.
std::string with_point(std::string const& text) {
    static std::regex const decimal("^([-+]?[0-9]+),([0-9]{1,2}|[0-9]{4,})([^0-9,].*)?$");
    return std::regex_replace(text, decimal, "$1.$2$3");
}

bool bare_number(std::string const& text) {
    try {
        return scenarios::split_quantity(text).unit.empty();
    } catch (scenarios::QuantityError const&) {
        return false;
    }
}

std::string one_as_toml(Form const& form, std::string_view unit, std::string const& typed) {
    auto const text = with_point(typed);
    if (form.takes == Takes::quantity)
        return quoted(bare_number(text) ? fmt::format("{} {}", text, unit) : text);
    if (form.takes == Takes::number) {
        if (!bare_number(text)) return scenarios::as_toml_value(text);
        auto const given = scenarios::as_toml_value(text);
        // "1,200" and "1/2" are numbers, but not to TOML.
        return given.front() == '\'' || given.front() == '"'
                   ? fmt::format("{:.12g}", scenarios::split_quantity(text).number)
                   : given;
    }
    return quoted(text);
}

std::vector<std::string> parts_of(std::string const& text) {
    std::vector<std::string> parts;
    std::string part;
    for (std::size_t i = 0; i < text.size(); ++i) {
        bool const comma = text[i] == ',' && (i + 1 == text.size() || text[i + 1] == ' ');
        if (comma || text[i] == ';') {
            parts.push_back(trimmed(part));
            part.clear();
        } else {
            part += text[i];
        }
    }
    if (!trimmed(part).empty()) parts.push_back(trimmed(part));
    return parts;
}

// A figure with four digits, or all before the point.
std::string figure(double value) {
    return std::abs(value) < 1e4 ? fmt::format("{:.4g}", value) : fmt::format("{:.0f}", value);
}

// A quantity in `unit`, if it was written in units of the other system.
std::string one_shown(Form const& form, std::string_view unit, UnitSystem system, std::string const& text) {
    if (form.takes != Takes::quantity || form.us == form.metric) return text;
    try {
        auto const written = scenarios::split_quantity(text);
        auto const other = system == UnitSystem::us ? form.metric : form.us;
        bool const same = written.unit == unit || scenarios::system_of(text) == system;
        if (written.unit.empty() || (same && written.unit != other)) return text;
        return fmt::format("{} {}", figure(scenarios::read_quantity(text, unit)), unit);
    } catch (scenarios::QuantityError const&) {
        return text;
    }
}

std::string plain(toml::node const& node) {
    if (auto const text = node.value_exact<std::string>()) return *text;
    std::ostringstream out;
    node.visit([&](auto const& n) { out << n; });
    return out.str();
}

}  // namespace

std::string_view field_unit(std::string_view key, UnitSystem system) {
    auto const* const k = scenarios::key_text(key);
    if (k == nullptr) return {};
    auto const form = form_of(*k);
    return system == UnitSystem::us ? form.us : form.metric;
}

std::string typed_as_toml(std::string_view key, std::string const& typed, UnitSystem system) {
    auto const* const k = scenarios::key_text(key);
    auto const text = trimmed(typed);
    if (k == nullptr) {
        auto value = scenarios::as_toml_value(text);
        if (value.size() >= 2 && value.front() == '\'') value = quoted(text);
        return value;
    }
    auto const form = form_of(*k);
    auto const unit = field_unit(key, system);
    if (text.starts_with('[') || text.starts_with('"')) return scenarios::as_toml_value(text);
    if (form.takes == Takes::yes_no)
        return text == "yes" ? "true" : text == "no" ? "false" : scenarios::as_toml_value(text);
    // A single value may stand where a list may ("surge_power = ..." needs one).
    if (form.list) {
        std::vector<std::string> values;
        for (auto const& part : parts_of(text)) values.push_back(one_as_toml(form, unit, part));
        return fmt::format("[{}]", fmt::join(values, ", "));
    }
    if (k->unit == "days") return scenarios::as_toml_value(with_point(text));
    return one_as_toml(form, unit, text);
}

std::string shown_value(std::string_view key, std::string const& toml, UnitSystem system) {
    try {
        auto const table = toml::parse("v = " + toml);
        auto const& node = *table.get("v");
        auto const* const k = scenarios::key_text(key);
        if (k == nullptr) return node.is_string() ? plain(node) : toml;
        auto const form = form_of(*k);
        auto const unit = field_unit(key, system);
        if (form.takes == Takes::yes_no && node.is_boolean()) return *node.value<bool>() ? "yes" : "no";
        auto const* const list = node.as_array();
        if (list == nullptr) return node.is_string() ? one_shown(form, unit, system, plain(node)) : toml;
        std::vector<std::string> parts;
        for (auto const& value : *list) {
            if (value.is_array() || value.is_table()) return toml;
            auto const text = plain(value);
            // What would be taken apart again stays as it is written.
            if (text.find_first_of(",;") != std::string::npos) return toml;
            parts.push_back(one_shown(form, unit, system, text));
        }
        return fmt::format("{}", fmt::join(parts, ", "));
    } catch (toml::parse_error const&) {
        return toml;
    }
}

std::string shown_range(std::string_view key, UnitSystem system) {
    auto const* const k = scenarios::key_text(key);
    if (k == nullptr || k->unit == "choice" || k->unit == "yes or no") return {};
    static std::regex const form("(-?[0-9.]+(?:e-?[0-9]+)?)-(-?[0-9.]+(?:e-?[0-9]+)?)( [^ ,]+)?(, .*)?");
    std::string const range(k->range);
    std::smatch match;
    if (!std::regex_match(range, match, form)) return range;
    std::string const unit(field_unit(key, system)),
        written = match[3].matched ? match[3].str().substr(1) : unit;
    auto const limit = [&](std::string const& text) {
        double const value = std::stod(text);
        try {
            return figure(unit.empty() || written == unit
                              ? value
                              : scenarios::read_quantity(text + " " + written, unit));
        } catch (scenarios::QuantityError const&) {
            return figure(value);
        }
    };
    return fmt::format("{} to {}{}{}{}", limit(match[1]), limit(match[2]), unit.empty() ? "" : " ", unit,
                       match[4].matched ? match[4].str() : "");
}

}  // namespace holdwater::tools
